import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";

const root = path.resolve(import.meta.dirname, "../..");
const FOLDERS = ["core", "electron", "renderer", "tests", "tools", "samples", "docs"];
/** Longer than this, bytes, the guide is not read any more; the rest has its place in docs/. */
const LONGEST_GUIDE = 20_000;

const read = (name: string): string => readFileSync(path.join(root, name), "utf8");
const pages = ["DEVELOPERS.md", ...readdirSync(path.join(root, "docs")).filter((f) => f.endsWith(".md")).map((f) => `docs/${f}`)];
const files = FOLDERS.flatMap((folder) => readdirSync(path.join(root, folder), { recursive: true, encoding: "utf8" }).map((f) => `${folder}/${f}`)).concat(readdirSync(root));
/** Files that the program writes while it runs are named in its sources. */
const sources = files.filter((f) => /^(electron|tools)\/.*\.ts$/.test(f)).map(read).join("\n");

/** The files whose path ends so. */
const named = (name: string): string[] => files.filter((f) => f === name || f.endsWith(`/${name}`));
/** Capitals stand for a name of the reader's: `tests/bench/NAME.ts`. */
const isPattern = (name: string): boolean => /\*|(^|\/)[A-Z]+\.\w+$/.test(name);

describe.each(pages)("%s", (page) => {
  const text = read(page);
  const code = [...text.matchAll(/`([^`\n]+)`/g)].map((m) => m[1]);

  it("names files that are there", () => {
    const fileNames = code.map((c) => c.replace(/^node /, "").split(" ")[0]).filter((c) => /^[\w./-]+\.(tsx?|mjs|css|json)$/.test(c) && !isPattern(c));
    expect(fileNames.filter((f) => named(f).length === 0 && !["\"", "/"].some((before) => sources.includes(`${before}${f}`)))).toEqual([]);
  });

  it("names what is in those files", () => {
    const pairs = [...text.matchAll(/`(\w+)`(?: \([^)]*\))? (?:in|of) `([\w./-]+\.tsx?)`/g)].map(([, name, file]) => ({ name, file }));
    expect(pairs.filter(({ name, file }) => !named(file).some((f) => new RegExp(`\\b${name}\\b`).test(read(f))))).toEqual([]);
  });

  it("links to what is there", () => {
    const links = [...text.matchAll(/\]\(([^)#]+)[^)]*\)/g)].map((m) => m[1]).filter((link) => !link.includes(":"));
    expect(links.filter((link) => !existsSync(path.join(root, path.dirname(page), link)))).toEqual([]);
  });
});

describe("DEVELOPERS.md", () => {
  const guide = read("DEVELOPERS.md");

  it("is short enough to be read", () => expect(Buffer.byteLength(guide)).toBeLessThanOrEqual(LONGEST_GUIDE));

  it("has every page of docs/", () => {
    expect(pages.slice(1).filter((page) => !guide.includes(`(${page})`))).toEqual([]);
  });

  it.each(["core", "electron/host", "renderer", "tests"])("has a line for every folder of %s", (folder) => {
    const rows = guide.split("\n").filter((line) => line.startsWith("| `")).map((line) => line.split("|")[1]);
    const own = readdirSync(path.join(root, folder), { withFileTypes: true }).filter((f) => f.isDirectory()).map((f) => `\`${folder}/${f.name}\``);
    const mirrors = folder === "tests" ? ["`tests/core`", "`tests/electron`", "`tests/renderer`"] : ["`renderer/public`"];
    expect(own.filter((name) => !mirrors.includes(name) && !rows.some((row) => row.includes(name)))).toEqual([]);
  });
});
