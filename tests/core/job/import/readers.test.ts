import { deflateSync } from "node:zlib";
import fc from "fast-check";
import { type PDFDict, PDFDocument, PDFName } from "pdf-lib";
import { describe, expect, it } from "vitest";
import type { ReadDrawing } from "../../../../core/job/import/drawing.ts";
import { findMarks } from "../../../../core/job/import/candidates.ts";
import { readDxf } from "../../../../core/job/import/dxf.ts";
import { proposeMeanings } from "../../../../core/job/import/meaning.ts";
import { flattenOutline, pathData } from "../../../../core/job/import/outline.ts";
import { readPdf } from "../../../../core/job/import/pdf.ts";
import { readSvg } from "../../../../core/job/import/svg.ts";
import { pathOutlines } from "../../../../core/job/import/svgShapes.ts";
import { artworkBoxes } from "../../../../core/job/import/artwork.ts";
import { draftJob } from "../../../../core/job/import/toJob.ts";
import { flattenCut } from "../../../../core/job/paths.ts";
import { readJob } from "../../../../core/job/read.ts";
import { farthest } from "./distance.ts";

const drawn = (read: ReadDrawing) => {
  if (!read.ok) throw new Error(read.reason);
  return read.drawing;
};
const dxf = (entities: Array<Array<string | number>>, units = 4) => ["0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", units, "0", "ENDSEC", "0", "SECTION", "2", "ENTITIES", ...entities.flat(), "0", "ENDSEC", "0", "EOF"].join("\n");
const line = (x0: number, y0: number, x1: number, y1: number, layer = "CUT") => [0, "LINE", 8, layer, 10, x0, 20, y0, 11, x1, 21, y1];

describe("DXF, by hand", () => {
  it("a bulge of 1 is a half circle counter-clockwise, whatever the unit", () => {
    const [{ outline }] = drawn(readDxf(dxf([[0, "LWPOLYLINE", 8, "CUT", 70, 0, 10, 0, 20, 0, 42, 1, 10, 2, 20, 0]], 5))).outlines;
    const path = flattenOutline(outline, 0.0001);
    for (const p of path?.points ?? []) {
      expect(Math.hypot(p.x - 10, p.y)).toBeCloseTo(10, 4);
      expect(p.y).toBeLessThanOrEqual(1e-9);
    }
    expect(path?.length).toBeCloseTo(10 * Math.PI, 2);
  });

  it("asks for the unit where the file states none", () => {
    expect(readDxf(dxf([line(0, 0, 1, 1)], 0))).toMatchObject({ ok: false, reason: expect.stringContaining("unit") });
    expect(drawn(readDxf(dxf([line(0, 0, 1, 1)], 0), { unit: 25.4 })).outlines[0].outline.edges).toEqual([[25.4, 25.4]]);
  });

  it("finds marks in every layer, ready to be confirmed, although nothing is filled: the two circles of a ring are one, a cut round them is none of it", () => {
    const circle = (x: number, y: number, r: number, layer: string) => [0, "CIRCLE", 8, layer, 10, x, 20, y, 40, r];
    const outline = [0, "LWPOLYLINE", 8, "DIE", 70, 1, ...[[0, 0], [300, 0], [300, 200], [0, 200]].flatMap(([x, y]) => [10, x, 20, y])];
    const drawing = drawn(readDxf(dxf([outline, circle(10, 10, 3, "DOTS"), circle(100, 50, 5, "DOTS"), circle(100, 50, 3, "DOTS"), circle(100, 50, 1, "DIE"), circle(250, 150, 4, "Print marks, light")])));
    const found = findMarks(drawing);
    expect(found.map(({ group, mark }) => [drawing.groups[group].name, mark])).toEqual([
      ["DOTS", expect.objectContaining({ shape: "dot", x: 10, y: 10 })], ["DOTS", expect.objectContaining({ shape: "ring", outer: expect.closeTo(10, 6), inner: expect.closeTo(6, 6) })],
      ["Print marks, light", expect.objectContaining({ shape: "dot", tone: "light" })],
    ]);
    // The witness's hole stays a cut when its ring is taken for a mark.
    const draft = draftJob(drawing, ["cut", "nothing", "nothing"], { id: "J", marks: found.slice(0, 2) });
    expect(draft?.job.cuts).toHaveLength(2);
    expect(draft?.job.marks.map((m) => m.shape)).toEqual(["dot", "ring"]);
  });

  it("runs smoothly through fit points, along its end tangents where they are given; says where they are not", () => {
    const points = [[0, 0], [40, 30], [90, 10], [120, 60]];
    const spline = [0, "SPLINE", 8, "CUT", 70, 8, 71, 3, 74, 4, ...points.flatMap(([x, y]) => [11, x, 21, y, 31, 0])];
    const [open, told] = [spline, [...spline, 12, 0, 22, 1, 32, 0, 13, 1, 23, 0, 33, 0]].map((e) => drawn(readDxf(dxf([e]))));
    expect(open.notes.join()).toContain("without end tangents");
    expect(told.notes).toEqual([]);
    const { x, y, edges } = told.outlines[0].outline;
    expect([[x, y], ...edges.map((e) => e.slice(4))]).toEqual(points);
    expect(edges[0][0]).toBe(0);
    expect(edges[2][3]).toBe(60);
    // The second derivative by the chords' length goes on over every inner point.
    for (const [i, [a, b]] of [[edges[0], edges[1]], [edges[1], edges[2]]].entries()) {
      const [h0, h1] = [0, 1].map((k) => Math.hypot(points[i + k + 1][0] - points[i + k][0], points[i + k + 1][1] - points[i + k][1]));
      for (const k of [0, 1]) expect((a[k] - 2 * a[2 + k] + a[4 + k]) / h0 ** 2).toBeCloseTo((a[4 + k] - 2 * b[k] + b[2 + k]) / h1 ** 2, 9);
    }
  });

  it("joins exploded segments into one closed cut, drops repeats and says so", () => {
    const drawing = drawn(readDxf(dxf([line(0, 0, 100, 0), line(100, 50, 100, 0.01), line(100, 50, 0, 50), line(0, 50, 0, 0), line(100, 0, 0, 0)])));
    const draft = draftJob(drawing, ["cut"], { id: "J" });
    expect(draft?.job.cuts).toHaveLength(1);
    expect(draft?.job.cuts[0].id).toBe("piece 1, outer edge");
    expect(flattenCut(draft!.job.cuts[0])[0]).toMatchObject({ closed: true });
    expect(draft?.notes.join()).toContain("1 cut line was drawn twice");
  });
});

describe("SVG", () => {
  it("reads arcs as the job's own paths do", () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -5000, max: 5000 }).map((v) => v / 100), { minLength: 6, maxLength: 6 }), fc.boolean(), fc.boolean(), ([x, y, rx, ry, turn, x2], large, sweep) => {
        fc.pre(Math.hypot(x2 - x, y) > 0.1 && Math.abs(rx) > 0.5 && Math.abs(ry) > 0.5);
        const d = `M${x} ${y}A${rx} ${ry} ${turn} ${+large} ${+sweep} ${x2} 0`;
        const lines = (points: ReadonlyArray<{ x: number; y: number }> = []) => [points.map((p) => [p.x, p.y] as const)];
        const ours = lines(flattenOutline(pathOutlines(d)[0], 0.0005)?.points);
        expect(farthest(ours, lines(flattenCut({ id: "c", kind: "cut", path: d }, 0.0005)[0].points))).toBeLessThan(0.001);
      }),
    );
  });

  it("turns y over, reads classes, use and units; runs and fetches nothing", () => {
    const drawing = drawn(readSvg(`<!DOCTYPE svg><svg xmlns="http://www.w3.org/2000/svg" width="10cm" height="50mm" viewBox="0 0 100 50"><style>.k{stroke:#F0F;fill:none}</style>
      <script>globalThis.ran = true</script><image href="http://127.0.0.1:9/x.png"/><defs><path id="p" class="k" d="M0 0H10"/></defs><use href="#p" x="5" y="10"/><use href="other.svg#q"/></svg>`));
    expect(drawing.page).toEqual({ width: 100, height: 50 });
    expect(drawing.groups).toEqual([{ name: "#f0f", kind: "colour" }]);
    expect(drawing.outlines.map((o) => pathData(o.outline))).toEqual(["M5 40L15 40"]);
    expect(drawing.notes.join()).toContain("outside the file");
    expect("ran" in globalThis).toBe(false);
  });

  it("refuses entity bombs, references without end, and what is no SVG", () => {
    const bomb = `<!DOCTYPE svg [<!ENTITY a "ha">${"bcdefgh".split("").map((n, i) => `<!ENTITY ${n} "${`&${"abcdefgh"[i]};`.repeat(10)}">`).join("")}]><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><g id="&h;"/></svg>`;
    const wide = `<svg viewBox="0 0 9 9"><path id="g0" d="M0 0H1"/>${[1, 2, 3, 4, 5, 6, 7, 8].map((i) => `<g id="g${i}">${`<use href="#g${i - 1}"/>`.repeat(10)}</g>`).join("")}</svg>`;
    for (const bad of [bomb, wide, "", "<html/>", "<svg", `<svg viewBox="0 0 9 9"><g id="a"><use href="#a"/></g></svg>`, `<svg viewBox="a"/>`, `<svg viewBox="0 0 9 9"/>`]) {
      expect(readSvg(bad)).toMatchObject({ ok: false, reason: expect.any(String), hint: expect.any(String) });
    }
  });
});

describe("PDF", () => {
  async function stepPdf(wrong: boolean): Promise<Uint8Array> {
    const document = await PDFDocument.create();
    const { context } = document;
    const page = document.addPage([283.4645669, 141.7322835]);
    const keys = { GTS_ProcStepsGroup: "Structural", GTS_ProcStepsType: "Creasing" };
    const group = context.obj({ Type: "OCG", ...(wrong ? keys : { GTS_Metadata: keys }) }) as PDFDict;
    const separation = context.obj([PDFName.of("Separation"), PDFName.of("Die Line"), PDFName.of("DeviceGray"), context.obj({ FunctionType: 2, Domain: [0, 1], N: 1 })]);
    page.node.set(PDFName.of("Resources"), context.obj({ Properties: { P1: context.register(group) }, ColorSpace: { S1: separation } }));
    page.node.set(PDFName.of("Contents"), context.register(context.flateStream("q /OC /P1 BDC 0 0 m 72 0 l S EMC /S1 CS 1 SCN (a\\)) Tj 0 36 m 72 36 l 72 72 l s 1 0 0 rg 9 9 5 5 re f Q")));
    page.node.set(PDFName.of("UserUnit"), context.obj(2));
    return document.save();
  }

  it.each([false, true])("reads processing steps (keys straight on the group: %s), spot colours and UserUnit", async (wrong) => {
    const drawing = drawn(await readPdf(await stepPdf(wrong)));
    expect(drawing.groups).toEqual([{ name: "Structural: Creasing", kind: "step" }, { name: "Die Line", kind: "colour" }, { name: "rgb 1 0 0", kind: "colour" }]);
    expect(proposeMeanings(drawing)).toEqual(["crease", "cut", "nothing"]);
    expect(drawing.page?.width).toBeCloseTo(200, 4);
    expect(pathData(drawing.outlines[0].outline)).toBe("M0 0L50.8 0");
  });

  it("refuses what it cannot read with a sentence", async () => {
    for (const bytes of [new Uint8Array(), new TextEncoder().encode("%PDF-1.7\nnothing"), await (await PDFDocument.create()).save()]) {
      expect(await readPdf(bytes)).toMatchObject({ ok: false, reason: expect.any(String) });
    }
    expect(await readPdf(await stepPdf(false), { page: 3 })).toMatchObject({ ok: false, reason: expect.stringContaining("no page 3") });
  });

  it("finds marks and makes a valid job", async () => {
    const document = await PDFDocument.create();
    const page = document.addPage([600, 400]);
    for (const [x, y] of [[20, 20], [580, 20], [580, 350]]) page.drawCircle({ x, y, size: 8 });
    page.drawRectangle({ x: 100, y: 100, width: 200, height: 100, borderWidth: 1 });
    const drawing = drawn(await readPdf(await document.save()));
    const draft = draftJob({ ...drawing, groups: [{ name: "cut", kind: "layer" }, { name: "marks", kind: "layer" }], outlines: drawing.outlines.map((o) => ({ ...o, group: o.outline.edges.length === 3 ? 0 : 1 })) }, ["cut", "mark"], { id: "P" });
    expect(draft?.job.marks).toHaveLength(3);
    expect(draft?.job.marks[0]).toMatchObject({ shape: "dot", x: expect.closeTo((20 * 25.4) / 72, 3), diameter: expect.closeTo((16 * 25.4) / 72, 3) });
    expect(readJob(draft?.job).ok).toBe(true);
  });
});

describe("names of nested pieces", () => {
  const square = (x: number, y: number, w: number, h = w) => [line(x, y, x + w, y), line(x + w, y, x + w, y + h), line(x + w, y + h, x, y + h), line(x, y + h, x, y)];
  const names = (entities: Array<Array<string | number>>) => draftJob(drawn(readDxf(dxf(entities))), ["cut"], { id: "N", piece: "tray" })?.job.cuts.map((c) => c.id).sort();

  it("copies of one piece are counted through in reading order, with what lies in them", () => {
    expect(names([...square(0, 0, 50), ...square(10, 10, 5), ...square(60, 0, 50), ...square(0, 100, 50)])).toEqual(["tray 1, outer edge", "tray 2, hole 1", "tray 2, outer edge", "tray 3, outer edge"]);
  });

  it("copies of different pieces are counted kind by kind, however they are turned", () => {
    expect(names([...square(0, 100, 50, 30), ...square(100, 80, 30, 50), ...square(0, 0, 20)])).toEqual(["tray A 1, outer edge", "tray A 2, outer edge", "tray B 1, outer edge"]);
  });
});

describe("lengths and viewports in SVG", () => {
  const boxOf = (inside: string) => {
    const source = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="200mm" height="100mm" viewBox="0 0 400 200"><g id="cut">${inside}</g></svg>`;
    const points = drawn(readSvg(source)).outlines.flatMap(({ outline: o }) => [[o.x, o.y], ...o.edges]);
    return [Math.min(...points.map((p) => p[0])), Math.min(...points.map((p) => p[1])), Math.max(...points.map((p) => p[0])), Math.max(...points.map((p) => p[1]))].map((v) => Math.round(v * 1e3) / 1e3);
  };

  it("percentages are of the viewport, units are of CSS, radii below zero are none", () => {
    expect(boxOf('<rect x="25%" y="50%" width="50%" height="25%"/>')).toEqual([50, 25, 150, 50]);
    // A CSS inch is 96 user units, here of half a millimetre.
    expect(boxOf('<rect x="0" y="0" width="1in" height="48" rx="-3"/>')).toEqual([0, 76, 48, 100]);
  });

  it("an inner drawing and a symbol are fitted into the room they are given", () => {
    expect(boxOf('<svg x="100" y="20" width="100" height="100" viewBox="0 0 10 10"><rect x="1" y="1" width="8" height="8"/></svg>')).toEqual([55, 45, 95, 85]);
    expect(boxOf('<symbol id="s" viewBox="0 0 10 20"><rect width="10" height="20"/></symbol><use xlink:href="#s" x="200" width="40" height="40"/>')).toEqual([105, 80, 115, 100]);
  });
});

describe("artwork for marks to keep out of", () => {
  it("is what means nothing, object by object, and placed pictures; a ground is not", () => {
    const drawing = drawn(readSvg(`<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"><g id="ground"><rect width="200" height="100"/></g><g id="art"><path d="M10 10h20v20zM15 15h2v2z"/>
      <image x="100" y="20" width="30" height="40" href="seed.jpg"/></g><g id="Cut" fill="none" stroke="red"><rect x="40" y="40" width="20" height="20"/></g></svg>`));
    const sheet = { width: 200, height: 100 };
    expect(artworkBoxes(drawing, proposeMeanings(drawing), sheet)).toEqual({ boxes: [[10, 70, 30, 90], [100, 40, 130, 80]], notes: [expect.stringContaining("outlines"), expect.stringContaining("ground")] });
    expect(artworkBoxes(drawing, proposeMeanings(drawing), { width: 300, height: 100 }).notes[2]).toContain("200.0 x 100.0 mm");
  });

  it("holds the pictures of a PDF, placed and in line", async () => {
    const document = await PDFDocument.create();
    const page = document.addPage([200, 100]);
    const image = await document.embedPng(Uint8Array.from(atob("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="), (c) => c.charCodeAt(0)));
    page.drawImage(image, { x: 72, y: 36, width: 36, height: 18 });
    page.drawLine({ start: { x: 0, y: 0 }, end: { x: 9, y: 9 } });
    const [box] = drawn(await readPdf(await document.save())).pictures ?? [];
    expect(box.map((v) => Math.round(v * 100) / 100)).toEqual([25.4, 12.7, 38.1, 19.05]);
  });
});

describe("hostile PDF files", () => {
  it("a page that unpacks without end is refused on the way", async () => {
    const document = await PDFDocument.create();
    const bomb = document.context.register(document.context.stream(deflateSync(new Uint8Array(150_000_000).fill(32)), { Filter: "FlateDecode" }));
    document.addPage([100, 100]).node.set(PDFName.of("Contents"), bomb);
    expect(await readPdf(await document.save())).toMatchObject({ ok: false, reason: expect.stringContaining("unpacks without end") });
  });

  it("a cross-reference stream that states more places than there can be is not waited for (found by npm run fuzz)", async () => {
    const document = await PDFDocument.create();
    document.addPage([100, 100]).drawLine({ start: { x: 1, y: 1 }, end: { x: 50, y: 50 } });
    const text = Buffer.from(await document.save()).toString("latin1");
    const hostile = text.replace(/\/W \[ 1 2 2 \]/, "/W [ 1 2 2 ]\n/Index [ 0 1299999999999 ]");
    expect(hostile).not.toBe(text);
    expect(await readPdf(Buffer.from(hostile, "latin1"))).toMatchObject({ ok: true, drawing: { outlines: [expect.anything()] } });
  });
});
