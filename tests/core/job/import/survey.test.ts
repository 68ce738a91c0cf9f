import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import type { ReadDrawing } from "../../../../core/job/import/drawing.ts";
import { readDxf } from "../../../../core/job/import/dxf.ts";
import { readPdf } from "../../../../core/job/import/pdf.ts";
import { readSvg } from "../../../../core/job/import/svg.ts";
import { draftJob } from "../../../../core/job/import/toJob.ts";
import { findChromium } from "../../../../tools/chromium.ts";
import { openChromium, pointsByChromium } from "./chromium.ts";
import { farthest, linesOf, type Line } from "./distance.ts";
import survey from "./survey.json" with { type: "json" };

/** Real files that Debian and npm packages carry (survey.json): each is read as an independent reader reads it, to 0.005 mm, or clearly refused. */
const AGREES = 0.005;
const files = survey.flatMap(({ package: name, root, files: names, is, reason }) => names.map((file) => ({ name, path: resolve(root, file), file, is, reason: reason ?? "" })));
const right = (ending: string) => files.filter((f) => f.is === "right" && f.file.endsWith(ending) && existsSync(f.path));
const python = ["python3", "/usr/bin/python3"].find((p) => spawnSync(p, ["-c", "import ezdxf"]).status === 0);
const poppler = spawnSync("pdftocairo", ["-v"]).error === undefined;
const browser = findChromium();
const folder = mkdtempSync(join(tmpdir(), "kerfmark-survey-"));
afterAll(() => rmSync(folder, { recursive: true }));

/** Points of a line, some forty of them: each must lie on the other reader's. */
const few = (line: Line): Line => line.filter((_, i) => i % Math.max(1, Math.floor(line.length / 40)) === 0);

async function read(path: string): Promise<ReadDrawing> {
  const bytes = readFileSync(path);
  if (path.endsWith(".pdf")) return readPdf(bytes);
  return path.endsWith(".svg") ? readSvg(bytes.toString("utf8")) : readDxf(bytes.toString("utf8"), { unit: 1 });
}
async function ours(path: string): Promise<{ lines: Line[]; height: number }> {
  const result = await read(path);
  if (!result.ok) throw new Error(result.reason);
  return { lines: linesOf(result.drawing), height: result.drawing.page?.height ?? 0 };
}

describe("drawings from the wild", () => {
  it("are at least twenty", () => expect(files.length).toBeGreaterThanOrEqual(20));

  it.each(files)("$name: $file", async ({ path, is, reason, name }) => {
    // The packages are installed by .ci/run; on a machine without them there is nothing to read.
    if (!existsSync(path) && process.env.CI === undefined) return;
    const result = await read(path);
    expect(result.ok, `${name} ${path}: ${result.ok ? "" : result.reason}`).toBe(is === "right");
    if (!result.ok) return expect(result.reason).toContain(reason);
    const draft = draftJob(result.drawing, result.drawing.groups.map(() => "cut"), { id: "survey" });
    expect(draft?.job.cuts.length).toBeGreaterThan(0);
    expect(JSON.stringify(draft?.job)).not.toMatch(/NaN|Infinity|null/);
  });

  it.skipIf(!python || right(".dxf").length === 0)("DXF: as python3-ezdxf reads them", async () => {
    const script = new URL("flattenedFiles.py", import.meta.url).pathname;
    const theirs = JSON.parse(execFileSync(python ?? "", [script, ...right(".dxf").map((f) => f.path)], { encoding: "utf8", maxBuffer: 1e8 })) as Record<string, Line[]>;
    for (const { path, file } of right(".dxf")) {
      const { lines } = await ours(path);
      expect(farthest(theirs[path].map(few), lines), file).toBeLessThan(AGREES);
      expect(farthest(lines.map(few), theirs[path]), file).toBeLessThan(AGREES);
    }
  });

  it.skipIf(!poppler || right(".pdf").length === 0)("PDF: as pdftocairo reads them", async () => {
    for (const { path, file } of right(".pdf")) {
      const svg = join(folder, `${file}.svg`);
      // Else it fits the page into one a point smaller.
      execFileSync("pdftocairo", ["-svg", "-noshrink", "-nocenter", path, svg]);
      const theirs = await ours(svg);
      // Theirs holds the outlines of letters too, which are no lines of the drawing.
      expect(farthest((await ours(path)).lines.map(few), theirs.lines), file).toBeLessThan(AGREES);
    }
  });

  it.skipIf(!browser || right(".svg").length === 0)("SVG: as Chromium reads them", async () => {
    const chrome = await openChromium(browser ?? "");
    try {
      for (const { path, file } of right(".svg")) {
        const { lines, height } = await ours(path);
        const points = await pointsByChromium(chrome, readFileSync(path, "utf8"), 8);
        expect(points.length, file).toBeGreaterThan(0);
        expect(farthest(points.map(([x, y]) => [[(x * 25.4) / 96, height - (y * 25.4) / 96] as const]), lines), file).toBeLessThan(AGREES);
      }
    } finally {
      await chrome.close();
    }
  });
});
