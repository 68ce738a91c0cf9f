import { createWriteStream } from "node:fs";
import { finished } from "node:stream/promises";
import PDFDocument from "pdfkit";
import { squaresOf } from "../../../core/camera/target/board.ts";
import { marksOf } from "../../../core/camera/target/dots.ts";
import type { BoardTarget, DotTarget, Target, TargetKind } from "../../../core/camera/target/target.ts";
import { loadVision } from "../vision.ts";

export type Paper = "a4" | "a3";
export type { TargetKind };

/** Sheet sizes lying, mm (ISO 216), with the grid of dots and the board that fit, and the length of the two rules. */
const PAPERS = {
  a4: { width: 297, height: 210, dots: { columns: 17, rows: 10, pitch: 15 }, board: { columns: 17, rows: 11, square: 15, dictionary: "DICT_5X5_100" }, rule: { x: 200, y: 140 } },
  a3: { width: 420, height: 297, dots: { columns: 19, rows: 12, pitch: 20 }, board: { columns: 19, rows: 13, square: 20, dictionary: "DICT_5X5_250" }, rule: { x: 300, y: 200 } },
} as const;
/** Side of a marker over that of its square: the corners keep light around them, the markers stay large enough to be read. */
const MARKER = 0.7;

/** The target of a kind that is printed on `paper`. */
export function targetFor(paper: Paper, kind: "dots"): DotTarget;
export function targetFor(paper: Paper, kind: "charuco"): BoardTarget;
export function targetFor(paper: Paper, kind: TargetKind): Target;
export function targetFor(paper: Paper, kind: TargetKind): Target {
  return kind === "dots" ? dotsFor(paper) : boardFor(paper);
}

/** The rings lie about the middle, at the corners of a figure without symmetry. */
function dotsFor(paper: Paper): DotTarget {
  const { columns, rows, pitch } = PAPERS[paper].dots;
  const [c, r] = [Math.floor(columns / 2), Math.floor(rows / 2)];
  return {
    format: "kerfmark.target/1", id: `dots-${columns}x${rows}-${pitch}`, kind: "dots", columns, rows, pitch, diameter: 0.4 * pitch,
    rings: [[c - 3, r - 2], [c + 3, r - 2], [c - 2, r + 2], [c + 1, r + 1]],
  };
}

function boardFor(paper: Paper): BoardTarget {
  const { columns, rows, square, dictionary } = PAPERS[paper].board;
  return { format: "kerfmark.target/1", id: `charuco-${columns}x${rows}-${square}`, kind: "charuco", columns, rows, square, marker: MARKER * square, dictionary };
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
  // All further lengths in mm, y up from the lower left corner; the middle a little off for the rules.
  document.scale(pt, -pt).translate(0, -height);
  const [across, up] = target.kind === "dots"
    ? [(target.columns - 1) * target.pitch, (target.rows - 1) * target.pitch]
    : [target.columns * target.square, target.rows * target.square];
  const at = { x: (width - across) / 2 + 4, y: (height - up) / 2 + 4 };
  if (target.kind === "dots") drawDots(document, target, at);
  else await drawBoard(document, target, at);
  document.lineWidth(0.2);
  drawRule(document, rule.x, (width - rule.x) / 2, 10, "x");
  drawRule(document, rule.y, 10, (height - rule.y) / 2, "y");
  const text = `${target.id}. Print at 100 %, not fitted to the page, and lay it flat. The lower rule is ${rule.x} mm long and the left one ${rule.y} mm: check both with a steel rule.`;
  document.scale(1, -1).font("Helvetica").fontSize(2.6).fillColor("black").text(text, (width - rule.x) / 2, -17, { lineBreak: false });
  document.end();
  await done;
}

function drawDots(document: PDFKit.PDFDocument, target: DotTarget, at: { x: number; y: number }): void {
  for (const mark of marksOf(target)) {
    const [x, y] = [at.x + mark.x, at.y + mark.y];
    if (mark.shape === "ring") document.circle(x, y, mark.outer / 2).circle(x, y, mark.inner / 2).fill("black", "even-odd");
    else if (mark.shape === "dot") document.circle(x, y, mark.diameter / 2).fill("black");
  }
}

/** All dark squares and cells as one path, so that no viewer shows seams between cells that touch. */
async function drawBoard(document: PDFKit.PDFDocument, target: BoardTarget, at: { x: number; y: number }): Promise<void> {
  const vision = await loadVision();
  const { square, marker, dictionary } = target;
  const margin = (square - marker) / 2;
  for (const { x, y, marker: id } of squaresOf(target)) {
    if (id === null) {
      document.rect(at.x + x, at.y + y, square, square);
      continue;
    }
    const cells = vision.markerCells(dictionary, id);
    const cell = marker / cells.length;
    cells.forEach((row, r) => {
      // Runs of ink as one rectangle each.
      for (let c = 0; c < row.length; c++) {
        if (row[c] === 0) continue;
        const from = c;
        while (row[c + 1] === 1) c++;
        document.rect(at.x + x + margin + from * cell, at.y + y + margin + (cells.length - 1 - r) * cell, (c + 1 - from) * cell, cell);
      }
    });
  }
  document.fill("black");
}

/** A rule with a tick each 10 mm, a longer one at its ends. */
function drawRule(document: PDFKit.PDFDocument, length: number, x: number, y: number, axis: "x" | "y"): void {
  const to = (along: number, across: number): [number, number] => (axis === "x" ? [x + along, y + across] : [x + across, y + along]);
  document.moveTo(...to(0, 0)).lineTo(...to(length, 0));
  for (let at = 0; at <= length; at += 10) document.moveTo(...to(at, at === 0 || at === length ? -2 : 0)).lineTo(...to(at, 2));
  document.stroke("black");
}
