import { budgetOf, type Budget } from "../check/uncertainty/budget.ts";
import { WANDER } from "../check/report/deviations.ts";
import { quadratic } from "../check/uncertainty/leftOut.ts";
import { estimateOf, type MapEstimate } from "../check/uncertainty/estimate.ts";
import { cutRowAt, type Across, type CutKind } from "../check/fit/cutMap.ts";
import type { BudgetLine } from "../check/record.ts";
import type { Solution } from "../check/fit/solution.ts";
import type { ViewKind } from "../check/view/viewModel.ts";
import { isInLine } from "../job/checks.ts";
import { describeAmbiguity, layoutAmbiguities, type Ambiguity } from "../job/layout.ts";
import type { Job } from "../job/schema.ts";
import { CHUNK_WANDER } from "./cutSightings.ts";
import { expectedSolution, prepare, type Prepared } from "./prepare.ts";
import { flatCut } from "./subpaths.ts";
import type { Setup } from "./setup.ts";
import type { NoView } from "./viewpoint.ts";

/** How well a job will be measured, before anything is printed. U: expanded uncertainty (k = 2), mm or mm/m. */
export interface Prediction {
  readonly ok: true;
  /** The terms that the check is expected to find. */
  readonly model: { readonly view: ViewKind; readonly cut: CutKind };
  readonly pxPerMm: number;
  /** mm from camera to sheet; null for a scanner. */
  readonly distance: number | null;
  readonly offset: number;
  readonly rotation: number;
  readonly skew: number;
  readonly scale: number;
  /** The stretch of a cut whose deviation is known least. */
  readonly worst: { readonly U: number; readonly feature: string; readonly x: number; readonly y: number };
  readonly features: ReadonlyArray<{ readonly id: string; readonly U: number }>;
  /** Marks that will be seen, with the standard uncertainty of their centres, mm. */
  readonly marks: ReadonlyArray<{ readonly id: string; readonly sigma: number }>;
  readonly map: UncertaintyMap;
  readonly budget: readonly BudgetLine[];
  /** Ways in which the layout looks the same turned, mirrored or shifted: empty where a picture can be told apart. */
  readonly ambiguities: readonly Ambiguity[];
  readonly warnings: readonly string[];
}

/** U of the deviation over the sheet in the direction in which it is known least, mm: row by row from the lower-left corner; a value stands in the middle of its cell. */
export interface UncertaintyMap {
  readonly columns: number;
  readonly rows: number;
  /** Size of a cell, mm. */
  readonly width: number;
  readonly height: number;
  readonly U: readonly number[];
}

/** Cells along the longer side of the sheet. */
const CELLS = 32;

/** Predicts the uncertainties that a check of this job will state, through the check's own fit and budget (JCGM 100:2008). */
export function predict(job: Job, setup: Setup): Prediction | NoView {
  const prepared = prepare(job, setup);
  if (!prepared.ok) return prepared;
  const fewest = fewestMarks(prepared);
  const solution = fixTheView(prepared, prepared.marks) ? expectedSolution(prepared, prepared.marks) : null;
  if (!solution) {
    return { ok: false, reason: `The job's ${prepared.marks.length} marks do not fix how the sheet is seen.`, hint: `Give it at least ${fewest} marks (better six) that are not in one line, or have them proposed.` };
  }
  const estimate = estimateOf(solution);
  const { pxPerMm } = prepared;
  const budget = budgetFor(prepared, prepared.marks, solution, estimate);
  const { offsetCovariance: c, u } = estimate;
  // What the check grants a blade's wander goes to every stretch.
  const common = Math.hypot(budget.seen(budget.lip), WANDER);
  const deviations = stretchUncertainties(prepared, solution, common);
  const ambiguities = layoutAmbiguities(job);
  return {
    ok: true, model: solution.model, pxPerMm, distance: prepared.distance,
    offset: 2 * Math.sqrt(Math.max(c.xx, c.yy) + budget.offset ** 2),
    rotation: 2 * Math.hypot(u.rotation, budget.rotation),
    skew: 2 * Math.hypot(u.skew, budget.skew),
    scale: 2 * Math.max(Math.hypot(u.scaleX, budget.scaleX), Math.hypot(u.scaleY, budget.scaleY)),
    worst: deviations.reduce((a, b) => (b.U > a.U ? b : a)),
    features: [...deviations.reduce((most, d) => most.set(d.feature, Math.max(d.U, most.get(d.feature) ?? 0)), new Map<string, number>())].map(([id, U]) => ({ id, U })),
    marks: prepared.marks.map((m) => ({ id: job.marks[m.mark].id, sigma: Math.sqrt((m.covariance.xx + m.covariance.yy) / 2) / pxPerMm })),
    map: mapOf(job, solution, common),
    budget: budget.lines,
    ambiguities,
    warnings: [...ambiguities.map(describeAmbiguity), ...warningsOf(prepared, solution)],
  };
}

/** Fewest marks that the check takes: 3 in a scan, 4 in a photo. */
function fewestMarks(p: Prepared): number {
  return p.optics.focal === null ? 3 : 4;
}

/** Marks in one line leave the view to its priors, which is no knowledge. */
function fixTheView(p: Prepared, marks: Prepared["marks"]): boolean {
  return marks.length >= fewestMarks(p) && !isInLine(marks.map((m) => m.print));
}

/** The check's budget for what is expected, with some of the marks. */
function budgetFor({ job, optics, pxPerMm, wall, eye }: Prepared, marks: Prepared["marks"], solution: Solution, estimate: MapEstimate): Budget {
  return budgetOf({ job, solution, blur: optics.light.blur, pxPerMm, wall, scatter: CHUNK_WANDER, placed: { seen: marks } }, estimate, eye);
}

/** The worst U of the cuts' stretches with some of the marks, mm, and the model it holds for; null where they do not fix the view. */
export function worstOf(p: Prepared, marks: Prepared["marks"]): { readonly U: number; readonly common: number; readonly solution: Solution } | null {
  const solution = fixTheView(p, marks) ? expectedSolution(p, marks) : null;
  if (!solution) return null;
  const budget = budgetFor(p, marks, solution, estimateOf(solution));
  const common = Math.hypot(budget.seen(budget.lip), WANDER);
  return { U: stretchUncertainties(p, solution, common).reduce((most, d) => Math.max(most, d.U), 0), common, solution };
}

function stretchUncertainties({ job }: Prepared, solution: Solution, common: number): Array<{ feature: string; x: number; y: number; U: number }> {
  const row = new Float64Array(solution.cut.length);
  return job.cuts.filter((c) => c.kind === "cut").flatMap((cut) => flatCut(cut).stretches.map(({ midpoint: p, normal: n }) => {
    rowAt(solution, { ...p, nx: n.x, ny: n.y }, row);
    return { feature: cut.id, x: p.x, y: p.y, U: 2 * Math.sqrt(Math.max(0, quadratic(solution, row)) + common ** 2) };
  }));
}

function rowAt({ data }: Solution, place: Across, row: Float64Array): Float64Array {
  return cutRowAt(place, data.datum, data.frame.print.half, row);
}

function mapOf(job: Job, solution: Solution, common: number): UncertaintyMap {
  const { columns, rows, width, height } = cellsOf(job);
  const row = new Float64Array(solution.cut.length);
  const along = (x: number, y: number, nx: number, ny: number): number => {
    return quadratic(solution, rowAt(solution, { x, y, nx, ny }, row));
  };
  const U = Array.from({ length: columns * rows }, (_, k) => {
    const [x, y] = [((k % columns) + 0.5) * width, (Math.floor(k / columns) + 0.5) * height];
    const [xx, yy] = [along(x, y, 1, 0), along(x, y, 0, 1)];
    const xy = along(x, y, Math.SQRT1_2, Math.SQRT1_2) - (xx + yy) / 2;
    // The larger eigenvalue of the displacement's covariance.
    const largest = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
    return 2 * Math.sqrt(largest + common ** 2);
  });
  return { columns, rows, width, height, U };
}

/** Nearly square cells that fill the sheet. */
export function cellsOf({ sheet }: Pick<Job, "sheet">, along = CELLS): Omit<UncertaintyMap, "U"> {
  const side = Math.max(sheet.width, sheet.height) / along;
  const [columns, rows] = [sheet.width, sheet.height].map((v) => Math.max(1, Math.round(v / side)));
  return { columns, rows, width: sheet.width / columns, height: sheet.height / rows };
}

function warningsOf(p: Prepared, solution: Solution): string[] {
  const warnings: string[] = [];
  const unseen = p.job.marks.length - p.marks.length;
  if (unseen > 0) warnings.push(`${unseen} of the job's marks will lie outside the picture.`);
  if (solution.doubtful) warnings.push("Marks and cuts cannot tell the lens of such a picture well: the uncertainty is larger for it. A camera profile or more marks would help.");
  if (p.pxPerMm < 1.5) warnings.push(`The picture will show the sheet at only ${p.pxPerMm.toFixed(1)} pixels per mm: go nearer, or use a camera with more pixels.`);
  return warnings;
}
