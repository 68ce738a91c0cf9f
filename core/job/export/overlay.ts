import { circleOutline, type Outline } from "../import/outline.ts";
import { pathOutlines } from "../import/svgShapes.ts";
import { LAYER_NAMES, markLayerName, TONES, type OverlayPart } from "../layerNames.ts";
import { writePayload } from "../payload.ts";
import { qrSymbol, type QrSymbol } from "../qr.ts";
import type { Code, Job } from "../schema.ts";
import { markOutlines } from "./markOutlines.ts";

export const OVERLAY_PARTS: readonly OverlayPart[] = ["marks", "codes", "cuts", "creases"];

export interface ExportOptions {
  /** All of them where not given. */
  readonly parts?: readonly OverlayPart[];
  /** The sheet's number, for codes whose payload has {sheet}; without it such codes are left out, and a note says so. */
  readonly sheet?: string;
}

/** A file made of a job, or one sentence that says why there is none. `notes`: what was left out, as sentences. */
export type Exported<File> =
  | { readonly ok: true; readonly file: File; readonly notes: readonly string[] }
  | { readonly ok: false; readonly reason: string; readonly hint: string };

/** One thing drawn: outlines that are filled together by the even-odd rule, or lines. Print frame, mm. */
export interface OverlayShape {
  readonly id: string;
  readonly outlines: readonly Outline[];
  /** Where the shape is one circle: formats that know circles write it as one. */
  readonly circle?: { readonly x: number; readonly y: number; readonly diameter: number };
  /** Left free of ink on a printed ground instead of printed. */
  readonly light?: boolean;
}

/** A layer of its own in every format. */
export interface OverlayLayer {
  readonly part: OverlayPart;
  /** A name of its own within the file, of letters. */
  readonly key: string;
  readonly name: string;
  readonly shapes: readonly OverlayShape[];
}

/** What is drawn, the same for every format. */
export interface Overlay {
  readonly title: string;
  readonly width: number;
  readonly height: number;
  readonly layers: readonly OverlayLayer[];
  readonly notes: readonly string[];
}

/** Most numbered pages of one file: what a variable-data front end takes at once without trouble (common practice, no source). */
export const MOST_PAGES = 10_000;

/** Collects what a job's overlay shows; a refusal where that is nothing. */
export function overlayOf(job: Job, options: ExportOptions = {}): { readonly ok: true; readonly overlay: Overlay } | Extract<Exported<never>, { ok: false }> {
  const parts = options.parts ?? OVERLAY_PARTS;
  const notes: string[] = [];
  const layers = OVERLAY_PARTS.filter((part) => parts.includes(part)).flatMap((part): OverlayLayer[] => (
    part === "marks" ? markLayers(job) : [{ part, key: part, name: LAYER_NAMES[part], shapes: shapesOf(part, job, options.sheet, notes) }]
  ));
  const filled = layers.filter((l) => l.shapes.length > 0);
  if (filled.length === 0) return { ok: false, reason: "The job has nothing to draw of what was asked for.", hint: notes[0] ?? `Ask for other parts than ${parts.join(", ") || "none"}.` };
  return { ok: true, overlay: { title: job.name || job.id, width: job.sheet.width, height: job.sheet.height, layers: filled, notes } };
}

function markLayers(job: Job): OverlayLayer[] {
  return TONES.map((tone): OverlayLayer => ({
    part: "marks", key: `marks${tone ?? ""}`, name: markLayerName(tone),
    shapes: job.marks.filter((mark) => mark.tone === tone).map((mark) => ({ id: mark.id, ...markOutlines(mark), ...(tone === "light" ? { light: true } : {}) })),
  }));
}

function shapesOf(part: Exclude<OverlayPart, "marks">, job: Job, sheet: string | undefined, notes: string[]): OverlayShape[] {
  if (part === "codes") return job.codes.flatMap((code, i) => codeShape(code, i, job.id, sheet, notes));
  const kind = part === "cuts" ? "cut" : "crease";
  return job.cuts.filter((c) => c.kind === kind).map((cut) => {
    if (!("circle" in cut)) return { id: cut.id, outlines: pathOutlines(cut.path) };
    const { x, y, diameter } = cut.circle;
    return { id: cut.id, outlines: [circleOutline(x, y, diameter / 2)], circle: cut.circle };
  });
}

function codeShape(code: Code, index: number, job: string, sheet: string | undefined, notes: string[]): OverlayShape[] {
  if (sheet === undefined && code.payload.includes("{sheet}")) {
    notes.push(`Code ${index + 1} holds the sheet's number and was left out: give a number, or make the numbered pages.`);
    return [];
  }
  const symbol = qrSymbol(writePayload(code.payload, { job, sheet: sheet ?? "" }));
  if (!symbol) {
    notes.push(`Code ${index + 1} was left out: its text is too long for a QR code.`);
    return [];
  }
  const outlines = codeRuns(code, symbol).map(({ x, y, width, height }): Outline => ({ x, y, edges: [[x + width, y], [x + width, y + height], [x, y + height]], closed: true }));
  return [{ id: `code ${index + 1}`, outlines }];
}

/** The dark modules of a code on the sheet as upright rectangles, one to each run of a row: lower-left corners and sizes, mm. */
export function codeRuns(code: Pick<Code, "x" | "y" | "size">, { count, dark }: QrSymbol): Array<{ x: number; y: number; width: number; height: number }> {
  const module = code.size / count;
  const runs: Array<{ x: number; y: number; width: number; height: number }> = [];
  for (let row = 0; row < count; row++) {
    for (let from = 0; from < count; from++) {
      if (!dark[row * count + from]) continue;
      let to = from;
      while (to < count && dark[row * count + to]) to++;
      runs.push({ x: code.x - code.size / 2 + from * module, y: code.y + code.size / 2 - (row + 1) * module, width: (to - from) * module, height: module });
      from = to;
    }
  }
  return runs;
}
