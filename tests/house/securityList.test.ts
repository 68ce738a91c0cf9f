import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";

const root = path.resolve(import.meta.dirname, "../..");

test("DEVELOPERS answers each of the 20 items of Electron's security list, by files that are there", () => {
  const rows = [...readFileSync(path.join(root, "DEVELOPERS.md"), "utf8").matchAll(/^\| (\d+) [^|]+\| (.+) \|$/gm)];
  expect(rows.map(([, item]) => Number(item))).toEqual(Array.from({ length: 20 }, (_, i) => i + 1));
  const there = new Set(["electron", "tests", "tools"].flatMap((folder) => readdirSync(path.join(root, folder), { recursive: true, encoding: "utf8" })).concat(readdirSync(root)).map((file) => path.basename(file)));
  for (const [, item, met] of rows) {
    const named = [...met.matchAll(/`([\w.-]+\.(?:ts|json))`/g)].map((match) => match[1]);
    expect(named.length, `item ${item} names a file`).toBeGreaterThan(0);
    expect(named.filter((file) => !there.has(file)), `item ${item}`).toEqual([]);
  }
});
