import type { PrintPoint } from "../geometry/frames.ts";
import { layoutAmbiguities } from "../job/layout.ts";
import { markSize } from "../job/markSize.ts";
import type { Job, Mark } from "../job/schema.ts";
import { reach } from "../marks/shapes.ts";
import { informationOf, type Information } from "./information.ts";
import { freePlaces } from "./places.ts";
import type { Box } from "../geometry/polygon.ts";
import { predict, worstOf, type Prediction } from "./predict.ts";
import { firstView, prepare, type Prepared } from "./prepare.ts";
import type { Setup } from "./setup.ts";
import type { NoView } from "./viewpoint.ts";

export interface MarkWish {
  /** How many marks to place. */
  readonly count: number;
  /** Shape and size of the new marks; a dot of 6 mm where not given. */
  readonly like?: Mark;
  /** Leave the job's own marks where they are and add to them; else they are replaced. */
  readonly keep?: boolean;
  /** Free board around a mark, mm: 2 or a third of its size where not given. */
  readonly clear?: number;
  /** From a mark's rim to the sheet's edge, mm: 6 where not given. */
  readonly edge?: number;
  /** Boxes of artwork to be kept out of. */
  readonly avoid?: readonly Box[];
  readonly onPieces?: boolean;
}

export interface Proposal {
  readonly ok: true;
  /** The job's marks as they would be. */
  readonly marks: readonly Mark[];
  /** How the job will be measured then. */
  readonly prediction: Prediction;
  /** Worst U now, mm; null where the job's marks do not fix the view. */
  readonly before: number | null;
  readonly notes: readonly string[];
}

const EDGE = 6;
const SIZE = 6;
/** Two marks nearer than this share of the sheet's shorter side say little more than one, and one smear takes both. */
const APART = 0.1;
/** Passes of exchange; it has settled long before. */
const PASSES = 12;

/**
 * Proposes where marks should stand: greedily, each where it lowers the worst U most, then by exchanging one after the other for the best place there is until
 * none moves (Fedorov exchange on the worst predicted variance). Every place is clear of cuts, creases, codes and artwork. Where the layout could
 * not be told apart turned or mirrored, marks are made rings until it can.
 */
export function proposeMarks(job: Job, setup: Setup, wish: MarkWish): Proposal | NoView {
  const like: Mark = wish.like ?? { id: "M1", shape: "dot", x: 0, y: 0, diameter: SIZE };
  if (!Number.isInteger(wish.count) || wish.count < 1 || wish.count > 60) return { ok: false, reason: `${wish.count} is not a number of marks.`, hint: "Ask for 1 to 60." };
  const kept = wish.keep ? job.marks : [];
  const clear = wish.clear ?? Math.max(2, markSize(like) / 3);
  const places = freePlaces(job, {
    radius: reach(like) + clear, fromEdge: reach(like) + (wish.edge ?? EDGE), avoid: wish.avoid, onPieces: wish.onPieces,
    others: kept.map((m) => ({ x: m.x, y: m.y, radius: reach(m) + clear })),
  });
  if (places.length < wish.count) return { ok: false, reason: `There is no room for ${wish.count} marks clear of cuts, codes and artwork.`, hint: "Ask for fewer or smaller marks, a smaller clear zone, or allow them on the pieces." };
  const prepared = prepare({ ...job, marks: [...kept] }, setup);
  if (!prepared.ok) return prepared;
  let chosen = search(prepared, kept, like, places, wish.count, firstView(prepared));
  let marks = named(kept, like, chosen);
  // The lens is dropped by the check where it is harmless; what is best then may differ.
  const model = modelOf(job, marks, setup);
  if (model && model !== firstView(prepared)) {
    chosen = search(prepared, kept, like, places, wish.count, model);
    marks = named(kept, like, chosen);
  }
  const told = tellApart({ ...job, marks: [...marks] }, kept.length);
  const prediction = predict({ ...job, marks: [...told.marks] }, setup);
  if (!prediction.ok) return prediction;
  const now = prepare(job, setup);
  return { ok: true, marks: told.marks, prediction, before: now.ok ? (worstOf(now, now.marks)?.U ?? null) : null, notes: told.notes };
}

function modelOf(job: Job, marks: readonly Mark[], setup: Setup): Prediction["model"]["view"] | null {
  const prepared = prepare({ ...job, marks: [...marks] }, setup);
  return prepared.ok ? (worstOf(prepared, prepared.marks)?.solution.model.view ?? null) : null;
}

/** Places for `count` marks by greedy choice and exchange. */
function search(p: Prepared, kept: readonly Mark[], like: Mark, places: readonly PrintPoint[], count: number, view: Prediction["model"]["view"]): PrintPoint[] {
  const information = informationOf(p, { view, cut: "affine" });
  const base = information.base.slice();
  for (const m of kept) addMark(information, base, information.rowsOf(m, m));
  const candidates = places.flatMap((at) => {
    const rows = information.rowsOf(at, like);
    return rows ? [{ at, rows }] : [];
  });
  const apart = Math.max(APART * Math.min(p.job.sheet.width, p.job.sheet.height), 2 * reach(like) + 2);
  const bestBeside = (others: ReadonlyArray<{ at: PrintPoint; rows: Float64Array }>, fallback: number | null): number | null => {
    const matrix = base.slice();
    for (const o of others) information.add(matrix, o.rows);
    const covariance = information.invert(matrix);
    if (!covariance) return fallback;
    let best = fallback;
    let least = fallback === null ? Infinity : information.worstWith(covariance, candidates[fallback].rows) * (1 - 1e-9);
    candidates.forEach(({ at, rows }, i) => {
      if (others.some((o) => Math.hypot(o.at.x - at.x, o.at.y - at.y) < apart)) return;
      const worst = information.worstWith(covariance, rows);
      if (worst < least) [least, best] = [worst, i];
    });
    return best;
  };
  const chosen: number[] = [];
  for (let k = 0; k < count; k++) {
    const next = bestBeside(chosen.map((i) => candidates[i]), null);
    if (next === null) break;
    chosen.push(next);
  }
  for (let pass = 0; pass < PASSES; pass++) {
    let moved = false;
    for (let k = 0; k < chosen.length; k++) {
      const next = bestBeside(chosen.filter((_, i) => i !== k).map((i) => candidates[i]), chosen[k]);
      if (next === null || next === chosen[k]) continue;
      chosen[k] = next;
      moved = true;
    }
    if (!moved) break;
  }
  return chosen.map((i) => candidates[i].at);
}

function addMark(information: Information, matrix: Float64Array, rows: Float64Array | null): void {
  if (rows) information.add(matrix, rows);
}

/** New marks with ids that are free, counted on from the lower left. */
function named(kept: readonly Mark[], like: Mark, places: readonly PrintPoint[]): Mark[] {
  const taken = new Set(kept.map((m) => m.id));
  let n = 0;
  const sorted = [...places].sort((a, b) => a.y - b.y || a.x - b.x);
  return [...kept, ...sorted.map((at): Mark => {
    do n++; while (taken.has(`M${n}`));
    return { ...like, id: `M${n}`, x: at.x, y: at.y };
  })];
}

/** Makes one, then two, of the new marks rings (or dots, where they are rings) until no turn, mirror or shift lays the layout on itself. */
function tellApart(job: Job, kept: number): { marks: readonly Mark[]; notes: readonly string[] } {
  const { marks } = job;
  if (layoutAmbiguities(job).length === 0) return { marks, notes: [] };
  const fresh = marks.map((_, i) => i).slice(kept);
  const sets = [...fresh.map((i) => [i]), ...fresh.flatMap((i) => fresh.filter((j) => j > i).map((j) => [i, j]))];
  for (const set of sets) {
    const changed = marks.map((m, i) => (set.includes(i) ? other(m) : m));
    if (layoutAmbiguities({ ...job, marks: changed }).length > 0) continue;
    return { marks: changed, notes: [`${set.map((i) => marks[i].id).join(" and ")} ${set.length > 1 ? "are" : "is"} of another shape, so that a picture can be told apart from a turned or mirrored one.`] };
  }
  return { marks, notes: ["The layout looks the same turned, mirrored or shifted: add a code, or change a mark by hand."] };
}

function other(mark: Mark): Mark {
  const { id, x, y } = mark;
  const size = markSize(mark);
  const tone = mark.tone === undefined ? {} : { tone: mark.tone };
  return mark.shape === "ring" ? { id, x, y, shape: "dot", diameter: size, ...tone } : { id, x, y, shape: "ring", outer: size, inner: Math.round(50 * size) / 100, ...tone };
}
