import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { PDFArray, PDFDict, PDFDocument, PDFName } from "pdf-lib";
import { describe, expect, it } from "vitest";
import { exportDxf } from "../../../../core/job/export/dxf.ts";
import type { Exported } from "../../../../core/job/export/overlay.ts";
import { exportPdf } from "../../../../core/job/export/pdf.ts";
import { exportSvg } from "../../../../core/job/export/svg.ts";
import type { ReadDrawing } from "../../../../core/job/import/drawing.ts";
import { readDxf } from "../../../../core/job/import/dxf.ts";
import { proposeMeanings } from "../../../../core/job/import/meaning.ts";
import { readPdf } from "../../../../core/job/import/pdf.ts";
import { readSvg } from "../../../../core/job/import/svg.ts";
import { draftJob } from "../../../../core/job/import/toJob.ts";
import { flattenCut } from "../../../../core/job/paths.ts";
import type { Cut, Job } from "../../../../core/job/schema.ts";
import { farthest, type Line } from "../import/distance.ts";
import { someJob } from "./someJob.ts";

/** The limit, mm. */
const EXACT = 0.001;

const fileOf = <T>(made: Exported<T>): T => {
  if (!made.ok) throw new Error(made.reason);
  return made.file;
};
const formats: Record<string, (job: Job) => Promise<ReadDrawing> | ReadDrawing> = {
  SVG: (job) => readSvg(fileOf(exportSvg(job, { sheet: "17" }))),
  DXF: (job) => readDxf(fileOf(exportDxf(job, { sheet: "17" }))),
  PDF: async (job) => readPdf(fileOf(await exportPdf(job, { sheet: "17" }))),
};
/** Vertices lie on the curve whatever the tolerance: few of one are held against close chords of the other. */
const linesOf = (cuts: readonly Cut[], kind: Cut["kind"], tolerance: number): Line[] => cuts.filter((c) => c.kind === kind).flatMap((c) => flattenCut(c, tolerance).map((s): Line => [...s.points, ...(s.closed ? [s.points[0]] : [])].map((p) => [p.x, p.y] as const)));

describe.each(Object.keys(formats))("%s: out and in again", (format) => {
  it("marks, cuts and creases come back to 0.001 mm, each for what it is", async () => {
    await fc.assert(fc.asyncProperty(someJob, async (job) => {
      const read = await formats[format](job);
      if (!read.ok) throw new Error(read.reason);
      const draft = draftJob(read.drawing, proposeMeanings(read.drawing), { id: job.id });
      expect(draft?.job.sheet).toEqual(job.sheet);
      expect(draft?.job.marks).toHaveLength(job.marks.length);
      for (const mark of job.marks) {
        const back = draft?.job.marks.find((m) => Math.hypot(m.x - mark.x, m.y - mark.y) < EXACT);
        // A cross may come back by another quarter turn of itself.
        const angle = "angle" in mark ? { angle: expect.closeTo(mark.angle ?? 0, 2) } : {};
        const sizes = Object.fromEntries(Object.entries(mark).filter(([k, v]) => typeof v === "number" && k !== "angle").map(([k, v]) => [k, expect.closeTo(v as number, 3)]));
        expect(back).toMatchObject({ ...sizes, ...angle, shape: mark.shape });
        expect(back?.tone).toBe(mark.tone);
      }
      for (const kind of ["cut", "crease"] as const) {
        const [before, after] = [job.cuts, draft?.job.cuts ?? []].map((cuts) => (tolerance: number) => linesOf(cuts, kind, tolerance));
        expect(after(1)).toHaveLength(before(1).length);
        if (before(1).length === 0) continue;
        expect(farthest(before(0.02), after(0.0002))).toBeLessThan(EXACT);
        expect(farthest(after(0.02), before(0.0002))).toBeLessThan(EXACT);
      }
    }), { numRuns: 20 });
  });

  it("a code's square is where the job has it", async () => {
    const [job] = fc.sample(someJob, { numRuns: 1, seed: 7 });
    const read = await formats[format](job);
    if (!read.ok) throw new Error(read.reason);
    const group = read.drawing.groups.findIndex((g) => g.name === "Codes");
    const points = read.drawing.outlines.filter((o) => o.group === group).flatMap(({ outline: o }) => [[o.x, o.y], ...o.edges]);
    const [code] = job.codes;
    expect(Math.min(...points.map((p) => p[0]))).toBeCloseTo(code.x - code.size / 2, 3);
    expect(Math.max(...points.map((p) => p[0]))).toBeCloseTo(code.x + code.size / 2, 3);
    expect(Math.min(...points.map((p) => p[1]))).toBeCloseTo(code.y - code.size / 2, 3);
    expect(Math.max(...points.map((p) => p[1]))).toBeCloseTo(code.y + code.size / 2, 3);
  });
});

describe("what a layout program finds in the PDF", () => {
  const [job] = fc.sample(someJob, { numRuns: 1, seed: 3 });

  it("layers of their own, spot colours, processing steps by ISO 19593-1 (second-hand: tests/reference/iso19593_1.json)", async () => {
    const document = await PDFDocument.load(fileOf(await exportPdf(job, { sheet: "1" })));
    const groups = document.catalog.lookup(PDFName.of("OCProperties"), PDFDict).lookup(PDFName.of("OCGs"), PDFArray);
    const said = groups.asArray().map((_, i) => {
      const group = groups.lookup(i, PDFDict);
      const metadata = group.lookup(PDFName.of("GTS_Metadata"));
      return [String(group.lookup(PDFName.of("Name"))), ...(metadata instanceof PDFDict ? ["GTS_ProcStepsGroup", "GTS_ProcStepsType"].map((k) => String(metadata.lookup(PDFName.of(k)))) : [])];
    });
    expect(said.filter(([name]) => !name.startsWith("(Print marks,"))).toEqual([["(Print marks)"], ["(Codes)"], ["(Cut)", "/Structural", "/Cutting"], ["(Crease)", "/Structural", "/Creasing"]]);
    const resources = document.getPage(0).node.Resources();
    const spaces = resources?.lookup(PDFName.of("ColorSpace"), PDFDict);
    expect(["Cut", "Crease"].map((n) => String(spaces?.lookup(PDFName.of(n), PDFArray).get(0)))).toEqual(["/Separation", "/Separation"]);
    expect(String(resources?.lookup(PDFName.of("ExtGState"), PDFDict).lookup(PDFName.of("GS0"), PDFDict).get(PDFName.of("OP")))).toBe("true");
  });

  it("a sheet past PDF's largest page keeps its true size by a larger unit", async () => {
    const large = { ...job, sheet: { width: 6000, height: 900 } };
    const read = await readPdf(fileOf(await exportPdf(large)));
    expect(read).toMatchObject({ ok: true, drawing: { page: { width: expect.closeTo(6000, 3), height: expect.closeTo(900, 3) } } });
  });

  it("what was left out is said", async () => {
    expect(await exportPdf(job)).toMatchObject({ ok: true, notes: [expect.stringContaining("Code 1 holds the sheet's number")] });
    expect(exportSvg(job, { parts: ["codes"] })).toMatchObject({ ok: false, hint: expect.stringContaining("number") });
  });
});

const python = ["python3", "/usr/bin/python3"].find((p) => spawnSync(p, ["-c", "import ezdxf"]).status === 0);

describe("what a strict reader makes of the DXF", () => {
  it.skipIf(!python)("python3-ezdxf audits it without a fault and finds its layers and its unit", () => {
    const folder = mkdtempSync(join(tmpdir(), "kerfmark-"));
    try {
      const file = join(folder, "overlay.dxf");
      const [job] = fc.sample(someJob, { numRuns: 1, seed: 3 });
      writeFileSync(file, fileOf(exportDxf(job, { sheet: "17" })));
      const script = "import sys, ezdxf\ndoc = ezdxf.readfile(sys.argv[1])\nprint(doc.dxfversion, doc.units, len(doc.audit().errors), len(doc.audit().fixes), sorted({e.dxf.layer.split(',')[0] for e in doc.modelspace()}), all(e.dxf.layer in doc.layers for e in doc.modelspace()))";
      expect(execFileSync(python ?? "", ["-c", script, file], { encoding: "utf8" }).trim()).toBe("AC1015 4 0 0 ['Codes', 'Crease', 'Cut', 'Print marks'] True");
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
