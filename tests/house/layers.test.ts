import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const root = path.resolve(import.meta.dirname, "../..");
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), "kerfmark-layers-"));
});

afterAll(() => rmSync(folder, { recursive: true }));

/** The rules broken by a small house of these files, under the project's own configuration. */
function brokenRules(files: Readonly<Record<string, string>>): string[] {
  const house = mkdtempSync(path.join(folder, "house-"));
  copyFileSync(path.join(root, "oxlint.config.ts"), path.join(house, "oxlint.config.ts"));
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(path.dirname(path.join(house, name)), { recursive: true });
    writeFileSync(path.join(house, name), text);
  }
  const bin = path.join(root, "node_modules/oxlint/bin/oxlint");
  const { stdout, stderr } = spawnSync(process.execPath, [bin, "--format=json"], { cwd: house, encoding: "utf8" });
  if (!stdout.startsWith("{")) throw new Error(`oxlint said: ${stdout}${stderr}`);
  return (JSON.parse(stdout) as { diagnostics: { code: string }[] }).diagnostics.map((one) => one.code);
}

const target = "export const a = 1;\n";
const importing = (what: string): string => `import { a } from "${what}";\nexport const b = a;\n`;

describe("the linter", () => {
  it("lets pass what the layers allow", () => {
    const files = {
      "core/geometry/frames.ts": target,
      "core/check/record.ts": target,
      "core/check/check.ts": importing("../marks/find.ts"),
      "core/marks/find.ts": importing("../geometry/frames.ts"),
      "core/judge/judge.ts": importing("../check/record.ts"),
      "electron/host/library.ts": importing("../../core/check/check.ts"),
      "electron/cli/main.ts": importing("../host/library.ts"),
      "electron/shell/main.ts": 'import { app } from "electron";\nexport const b = app;\n',
      "renderer/desk.ts": importing("../electron/host/library.ts"),
    };
    expect(brokenRules(files)).toEqual([]);
  });

  it.each([
    ["core", "the file system", "core/judge/a.ts", "node:fs"],
    ["core", "Electron", "core/judge/a.ts", "electron"],
    ["core", "the host", "core/judge/a.ts", "../../electron/host/x.ts"],
    ["core", "the screens", "core/x.ts", "../renderer/x.ts"],
    ["geometry", "a row above", "core/geometry/a.ts", "../check/check.ts"],
    ["geometry", "the job", "core/geometry/deep/a.ts", "../../job/schema.ts"],
    ["job", "the measurement", "core/job/a.ts", "../marks/find.ts"],
    ["marks", "the check", "core/marks/a.ts", "../check/check.ts"],
    ["the samples", "the measurement", "core/sample/a.ts", "../marks/find.ts"],
    ["screens", "the shell", "renderer/a.tsx", "../electron/shell/main.ts"],
    ["screens", "Node", "renderer/a.ts", "node:path"],
    ["host", "the command line", "electron/host/a.ts", "../cli/main.ts"],
    ["host", "Electron", "electron/host/a.ts", "electron"],
    ["the command line", "the shell", "electron/cli/a.ts", "../shell/main.ts"],
  ])("forbids %s to import %s", (_who, _what, file, from) => {
    expect(brokenRules({ [file]: importing(from) })).toEqual(["eslint(no-restricted-imports)"]);
  });

  it("finds a circle, also of three", () => {
    const two = { "core/cuts/a.ts": 'import "./b.ts";\n', "core/cuts/b.ts": 'import "./a.ts";\n' };
    expect(brokenRules(two)).toContain("import(no-cycle)");
    const three = { ...two, "core/cuts/b.ts": 'import "../codes/c.ts";\n', "core/codes/c.ts": 'import "../cuts/a.ts";\n' };
    expect(brokenRules(three)).toContain("import(no-cycle)");
  });

  it("forbids any, and the console in core", () => {
    expect(brokenRules({ "core/judge/a.ts": "export const a: any = 1;\n" })).toEqual(["typescript(no-explicit-any)"]);
    expect(brokenRules({ "core/judge/a.ts": "console.log(1);\n" })).toEqual(["eslint(no-console)"]);
  });
});
