import fc from "fast-check";
import { PDFDocument } from "pdf-lib";
import { describe, expect, it } from "vitest";
import type { ReadDrawing } from "../../../../core/job/import/drawing.ts";
import { readDxf } from "../../../../core/job/import/dxf.ts";
import { readPdf } from "../../../../core/job/import/pdf.ts";
import { readSvg } from "../../../../core/job/import/svg.ts";
import { draftJob } from "../../../../core/job/import/toJob.ts";

/** Bytes of a file with some replaced, cut out or repeated. */
const damage = fc.array(fc.record({ at: fc.nat(), length: fc.nat({ max: 30 }), byte: fc.integer({ min: 0, max: 255 }), kind: fc.constantFrom("replace", "cut", "repeat") }), { minLength: 1, maxLength: 6 });

function damaged(bytes: Uint8Array, hits: ReadonlyArray<{ at: number; length: number; byte: number; kind: string }>): Uint8Array {
  return hits.reduce((b, { at, length, byte, kind }) => {
    const i = at % (b.length + 1);
    const middle = kind === "replace" ? [byte] : kind === "cut" ? [] : [...b.slice(i, i + length), ...b.slice(i, i + length)];
    return Uint8Array.from([...b.slice(0, i), ...middle, ...b.slice(i + (kind === "replace" ? 1 : length))]);
  }, bytes);
}

/** A damaged file is read or refused in a sentence, and what is read makes a finite job. */
async function holds(read: ReadDrawing): Promise<void> {
  if (!read.ok) return void expect(read.reason).toMatch(/^[A-Z].*\.$/s);
  const draft = draftJob(read.drawing, read.drawing.groups.map(() => "cut"), { id: "fuzz" });
  expect(JSON.stringify(draft?.job.cuts ?? [])).not.toMatch(/NaN|Infinity|null/);
}

describe("damaged drawings", () => {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="9cm" height="50mm" viewBox="0 0 100 50"><style>.k{stroke:#F0F}</style><g transform="rotate(3)"><path id="p" class="k" d="M0 0a5 5 0 0 1 9 9zM1 1q3 4 5 6"/><use href="#p" x="5"/></g></svg>`;
  const dxf = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nARC\n8\nCUT\n10\n5\n20\n5\n40\n9\n50\n0\n51\n90\n0\nLWPOLYLINE\n8\nCUT\n70\n1\n10\n0\n20\n0\n42\n0.5\n10\n9\n20\n0\n10\n9\n20\n9\n0\nSPLINE\n8\nB\n71\n3\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n1\n40\n1\n40\n1\n10\n0\n20\n0\n10\n1\n20\n5\n10\n3\n20\n5\n10\n9\n20\n0\n0\nENDSEC\n0\nEOF\n";
  const bytes = (text: string) => new TextEncoder().encode(text);
  const text = (b: Uint8Array) => new TextDecoder().decode(b);

  it("SVG", () => fc.assert(fc.asyncProperty(damage, (hits) => holds(readSvg(text(damaged(bytes(svg), hits))))), { numRuns: 300 }));
  it("DXF", () => fc.assert(fc.asyncProperty(damage, (hits) => holds(readDxf(text(damaged(bytes(dxf), hits))))), { numRuns: 300 }));
  it("PDF", async () => {
    const document = await PDFDocument.create();
    document.addPage([300, 200]).drawSvgPath("M0 0 C 9 9 20 4 30 30 L 3 3 Z", { x: 20, y: 90, borderWidth: 1 });
    const file = await document.save({ useObjectStreams: false });
    await fc.assert(fc.asyncProperty(damage, async (hits) => holds(await readPdf(damaged(file, hits)))), { numRuns: 150 });
  });
});
