import { createWriteStream } from "node:fs";
import { finished } from "node:stream/promises";
import PDFDocument from "pdfkit";
import type { Target } from "../../../core/camera/target/target.ts";
import { marksOf } from "../../../core/camera/target/target.ts";

export type Paper = "a4" | "a3";

/** Sheet sizes lying, mm (ISO 216), with the grid that fits and the length of the two rules. */
const PAPERS = {
  a4: { width: 297, height: 210, columns: 17, rows: 10, pitch: 15, rule: { x: 200, y: 140 } },
  a3: { width: 420, height: 297, columns: 19, rows: 12, pitch: 20, rule: { x: 300, y: 200 } },
} as const;

export type Rules = NonNullable<Target["measured"]>;

/** The target that is printed on `paper`. The rings lie about its middle, at the corners of a figure without symmetry. */
export function targetFor(paper: Paper): Target {
  const { columns, rows, pitch } = PAPERS[paper];
  const [c, r] = [Math.floor(columns / 2), Math.floor(rows / 2)];
  return {
    format: "kerfmark.target/1", id: `dots-${columns}x${rows}-${pitch}`, kind: "dots", columns, rows, pitch, diameter: 0.4 * pitch,
    rings: [[c - 3, r - 2], [c + 3, r - 2], [c - 2, r + 2], [c + 1, r + 1]],
  };
}

/** Lengths of the two printed rules, mm. */
export function ruleLengths(paper: Paper): { readonly x: number; readonly y: number } {
  return PAPERS[paper].rule;
}

/** Writes the target as a PDF at true size, with a rule along the bottom and one up the left side to check the printer. */
export async function writeTargetPdf(path: string, target: Target, paper: Paper): Promise<void> {
  const { width, height, rule } = PAPERS[paper];
  const pt = 72 / 25.4;
  const document = new PDFDocument({ size: [width * pt, height * pt], margin: 0, info: { Title: `Calibration target ${target.id}` } });
  const done = finished(document.pipe(createWriteStream(path)));
  // All further lengths in mm, y up from the lower left corner.
  document.scale(pt, -pt).translate(0, -height);
  const left = (width - (target.columns - 1) * target.pitch) / 2 + 4;
  const low = (height - (target.rows - 1) * target.pitch) / 2 + 4;
  for (const mark of marksOf(target)) {
    const [x, y] = [left + mark.x, low + mark.y];
    if (mark.shape === "ring") document.circle(x, y, mark.outer / 2).circle(x, y, mark.inner / 2).fill("black", "even-odd");
    else if (mark.shape === "dot") document.circle(x, y, mark.diameter / 2).fill("black");
  }
  document.lineWidth(0.2);
  drawRule(document, rule.x, (width - rule.x) / 2, 10, "x");
  drawRule(document, rule.y, 10, (height - rule.y) / 2, "y");
  const text = `${target.id}. Print at 100 %, not fitted to the page, and lay it flat. The lower rule is ${rule.x} mm long and the left one ${rule.y} mm: check both with a steel rule.`;
  document.scale(1, -1).font("Helvetica").fontSize(2.6).fillColor("black").text(text, (width - rule.x) / 2, -17, { lineBreak: false });
  document.end();
  await done;
}

/** A rule with a tick each 10 mm, a longer one at its ends. */
function drawRule(document: PDFKit.PDFDocument, length: number, x: number, y: number, axis: "x" | "y"): void {
  const to = (along: number, across: number): [number, number] => (axis === "x" ? [x + along, y + across] : [x + across, y + along]);
  document.moveTo(...to(0, 0)).lineTo(...to(length, 0));
  for (let at = 0; at <= length; at += 10) document.moveTo(...to(at, at === 0 || at === length ? -2 : 0)).lineTo(...to(at, 2));
  document.stroke("black");
}
