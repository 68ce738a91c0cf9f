import { findMarks, type MarkCandidate } from "../../../core/job/import/candidates.ts";
import type { Drawing, DrawnOutline, ReadDrawing } from "../../../core/job/import/drawing.ts";
import { proposeMeanings } from "../../../core/job/import/meaning.ts";
import { bounds, flattenOutline, mapOutline } from "../../../core/job/import/outline.ts";
import { copiesOf } from "../../../core/job/import/pieces.ts";
import { readDrawing, type ReadOptions, UNITS } from "../../../core/job/import/read.ts";
import { draftJob } from "../../../core/job/import/toJob.ts";
import { flattenCut } from "../../../core/job/paths.ts";
import type { Job } from "../../../core/job/schema.ts";
import { buildLines } from "../canvas/lines.ts";
import type { Asks, DraftAnswer, DraftAsk, DrawingView, ReadAnswer } from "./protocol.ts";

/** Chords of curves on the screen, mm. */
const SHOWN = 0.02;

/** Reads a drawing, the first page of a PDF that shows something where none is asked for. The drawing stays here; what can be shown of it is the answer. */
export async function read({ bytes, name, unit, page, box }: Asks["read"]["ask"]): Promise<{ drawing: Drawing | null; answer: ReadAnswer }> {
  const data = new Uint8Array(bytes);
  const { got, page: pageNumber } = await firstDrawnPage(data, name, { unit: unit && UNITS[unit], page, box });
  if (got.ok) return { drawing: got.drawing, answer: { ok: true, view: { ...viewOf(got.drawing), pageNumber } } };
  const { reason, hint } = got;
  if (got.needs !== "unit") return { drawing: null, answer: { ok: false, reason, hint } };
  const inUnits = await readDrawing(data, name, { unit: 1 });
  if (!inUnits.ok) return { drawing: null, answer: { ok: false, reason: inUnits.reason, hint: inUnits.hint } };
  const [left, bottom, right, top] = extentOf(inUnits.drawing);
  return { drawing: null, answer: { ok: false, needs: "unit", width: right - left, height: top - bottom } };
}

/** Pages looked through for one with lines, where the first has none. */
const LOOKED_THROUGH = 12;

/** Reads the page asked for. Where the first page of a PDF is refused (a cover, a picture), the next that is not refused for the same reason is read instead. */
async function firstDrawnPage(data: Uint8Array, name: string, options: ReadOptions & { readonly page: number }): Promise<{ got: ReadDrawing; page: number }> {
  const { page } = options;
  const got = await readDrawing(data, name, options);
  const isPdf = String.fromCharCode(...data.subarray(0, 1024)).includes("%PDF-");
  if (got.ok || !isPdf || page !== 1) return { got, page };
  for (let n = 2; n <= LOOKED_THROUGH; n++) {
    const next = await readDrawing(data, name, { ...options, page: n });
    if (next.ok) return { got: next, page: n };
    if (next.reason !== got.reason) break;
  }
  return { got, page };
}

function extentOf(drawing: Drawing): [number, number, number, number] {
  return bounds(drawing.outlines.map((o) => o.outline));
}

function viewOf(drawing: Drawing): Omit<DrawingView, "pageNumber"> {
  const { groups, page, boxes, pages, notes, outlines } = drawing;
  const counts = groups.map(() => 0);
  for (const o of outlines) counts[o.group]++;
  const runs = outlines.flatMap(({ outline, group }) => {
    const path = flattenOutline(outline, SHOWN);
    return path ? [{ owner: group, points: path.points, closed: path.closed }] : [];
  });
  return { groups, page, boxes, pages, notes, counts, proposed: proposeMeanings(drawing), candidates: findMarks(drawing), lines: buildLines(runs), extent: extentOf(drawing) };
}

/** The job that the drawing makes with these meanings; what is a mark is what the reader said, wherever it was drawn. */
export function draft(drawing: Drawing, candidates: readonly MarkCandidate[], ask: DraftAsk): { job: Job; answer: DraftAnswer } | null {
  const { x, y } = ask.shift;
  const outlines = x === 0 && y === 0 ? drawing.outlines : drawing.outlines.map((o): DrawnOutline => ({ ...o, outline: mapOutline(o.outline, [1, 0, 0, 1, x, y]) }));
  const marks = ask.marks.map((i) => candidates[i]).map((c) => ({ ...c, mark: { ...c.mark, x: c.mark.x + x, y: c.mark.y + y } }));
  const { id, name, sheet, piece, join } = ask;
  const made = draftJob({ ...drawing, outlines }, ask.meanings, { id, name, sheet, piece, join, marks });
  if (!made) return null;
  const { job, notes } = made;
  const creases = job.cuts.filter((c) => c.kind === "crease").length;
  return { job, answer: { cuts: job.cuts.length - creases, creases, marks: job.marks.length, notes, pieces: pieceCounts(job.cuts) } };
}

/** How many outer edges there are of each kind, the most frequent first. */
function pieceCounts(cuts: Job["cuts"]): number[] {
  const outer = cuts.filter((c) => c.id.endsWith(", outer edge")).flatMap((c) => flattenCut(c, SHOWN).slice(0, 1));
  const counts = new Map<number, number>();
  for (const kind of copiesOf(outer)) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  return [...counts.values()].sort((a, b) => b - a);
}

/** The cuts of a job as lines to be drawn; the owner of each is its cut's place in the job. */
export function linesOf({ cuts }: Asks["lines"]["ask"]): ReturnType<typeof buildLines> {
  return buildLines(cuts.flatMap((cut, owner) => flattenCut(cut, SHOWN).map(({ points, closed }) => ({ owner, points, closed }))));
}
