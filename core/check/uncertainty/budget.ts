import type { BudgetLine } from "../record.ts";
import type { Across } from "../fit/cutMap.ts";
import type { MapEstimate } from "./estimate.ts";
import type { ReportInput } from "../report/report.ts";
import { factor } from "../../geometry/normalEquations.ts";
import { medianOf } from "../../statistics/median.ts";
import { countOf, type Nuisance } from "../view/nuisance.ts";
import { lipResponse } from "./lipResponse.ts";
import { scatterOf } from "../tracing/scatter.ts";
import type { Solution } from "../fit/solution.ts";
import type { Eye } from "../../witness/eye.ts";

/**
 * The uncertainty budget (JCGM 100:2008): what the joint fit's covariance holds (type A), and the parts that no residual of one picture shows (type B), each
 * stated here with its assumption. `offset` goes to the offset, mm; `rotation`, `skew` and the scales to those, mm/m. What lips do to each the fit itself tells
 * (lipResponse.ts).
 */
export interface Budget {
  readonly lines: BudgetLine[];
  /** What lips leave, root mean square over the cuts as they count, mm. */
  readonly lip: number;
  readonly offset: number;
  readonly rotation: number;
  readonly skew: number;
  readonly scaleX: number;
  readonly scaleY: number;
  /** To a stretch that is seen, to whose place its own lip leaves so much, mm. */
  seen(lip: number): number;
  /** To where the cuts seen have a stretch: on the side of which nothing is seen lips move the map farthest. */
  expected(stretch: Across): number;
}

/** What a lip leaves at least, as a share of the blur: no profile is known better. */
const LIP_SHARE = 0.01;
/** Seen askew, a slit shows the wall that faces the camera, lit near its top: its line lies as if so far below the face, mm, a share of the slit's usual width of 0.3 mm (common practice, no source). */
const SLIT_DEPTH = 0.02;
/** Ink and edge of a mark are not where the drawing has them to the last micrometre: standard uncertainty of one mark, mm. */
export const MARK_PRINT = 0.003;

/** Artwork beside the cut, the blade's wander and shapes that no model has draw single pieces of it aside, and whole sides by about this share of that (from pictures with known truth, drawn by others). */
const PULL_SHARE = 0.4;

/** What moves all lines one way moves them across by this share, as they run all ways. */
const ACROSS = Math.SQRT1_2;

/** What the budget needs to know of a check, done or to come. */
export type BudgetInput = Pick<ReportInput, "job" | "solution" | "blur" | "pxPerMm"> & Partial<Pick<ReportInput, "wall">> & {
  readonly placed: { readonly seen: { readonly length: number } };
  /** By how much pieces of the cut will scatter beyond their pixels and lips, mm, where there is no picture yet; else the fit's residuals tell. */
  readonly scatter?: number;
};

/** The budget of one check; `eye` is where the camera stands over the sheet (null for a scan). */
export function budgetOf(input: BudgetInput, estimate: MapEstimate, eye: Eye | null): Budget {
  const { solution, blur, pxPerMm, placed } = input;
  const marks = Math.max(1, placed.seen.length);
  const least = (LIP_SHARE * Math.max(blur, 0.7)) / pxPerMm;
  const { cuts } = solution.data;
  const counted = cuts.reduce((sum, c) => sum + (c.counts ?? 1), 0);
  const lip = Math.hypot(least, Math.sqrt(cuts.reduce((sum, c) => sum + (c.counts ?? 1) * (c.lip ?? 0) ** 2, 0) / Math.max(1, counted)));
  const pull = PULL_SHARE * (input.scatter ?? unexplained(solution, lip));
  const drawn = Math.hypot(lip, pull);
  const response = lipResponse(solution, (c) => Math.hypot(c.lip ?? 0, least, pull));
  const askew = slitAskew(input, eye);
  const print = MARK_PRINT / Math.sqrt(marks);
  const whole = Math.max(estimate.offsetCovariance.xx, estimate.offsetCovariance.yy);
  const parts = (["lens profile", "board not flat"] as const).map((source) => ({ source, variance: nuisanceVariance(solution, source) }));
  // Of the joint fit's variance, what the lines below tell apart: the marks' print is among what it was told of them.
  const fit = Math.sqrt(Math.max(0, whole - print ** 2 - parts.reduce((s, p) => s + p.variance, 0)));
  const lines: BudgetLine[] = [
    { source: "marks and cuts, as the pixels scatter (joint fit)", type: "A", value: fit, unit: "mm", contribution: fit },
    ...parts.filter((p) => p.variance > 0).map(({ source, variance }): BudgetLine => ({ source, type: "B", value: Math.sqrt(variance), unit: "mm", contribution: Math.sqrt(variance) })),
    { source: "lip and light on the cut's edge", type: "B", value: lip, unit: "mm", contribution: (response.offset * lip) / drawn },
    { source: "artwork and blade along whole sides", type: "B", value: pull, unit: "mm", contribution: (response.offset * pull) / drawn },
    { source: "slit seen askew", type: "B", value: SLIT_DEPTH, unit: "mm", contribution: askew.offset },
    ...(input.wall ? [{ source: "board's wall seen beside its face", type: "B" as const, value: input.wall, unit: "mm" as const, contribution: input.wall }] : []),
    { source: "print of the marks", type: "B", value: MARK_PRINT, unit: "mm", contribution: print },
  ];
  const wall = input.wall ?? 0;
  return {
    lines, lip, offset: Math.hypot(response.offset, askew.offset, wall),
    rotation: response.rotation, skew: response.skew, scaleX: Math.hypot(response.scaleX, askew.scale), scaleY: Math.hypot(response.scaleY, askew.scale),
    seen: (own) => Math.hypot(own, least, pull, askew.common, wall),
    expected: (stretch) => Math.hypot(response.across(stretch), askew.common, wall),
  };
}

/**
 * What lies z below the face is seen z times the tangent of the angle nearer to the point under the camera: that shrinks the cuts by z over the camera's height, and moves them by it over the distance of the
 * datum from that point. `common` is what a line somewhere on the sheet moves across.
 */
function slitAskew({ job: { sheet, state }, solution: { data: { datum } } }: BudgetInput, eye: Eye | null): Record<"common" | "offset" | "scale", number> {
  if (!eye || state === "stripped") return { common: 0, offset: 0, scale: 0 };
  const angle = SLIT_DEPTH / eye.z;
  const usual = Math.hypot(sheet.width / 2 - eye.x, sheet.height / 2 - eye.y, Math.hypot(sheet.width, sheet.height) / Math.sqrt(12));
  return { common: ACROSS * angle * usual, offset: angle * Math.max(Math.abs(datum.x - eye.x), Math.abs(datum.y - eye.y)), scale: 1000 * angle };
}

/** The pieces' scatter about the fit (median), mm, less what their pixels and lips account for. */
function unexplained(solution: Solution, lip: number): number {
  const { cuts } = solution.data;
  return cuts.length === 0 ? 0 : Math.sqrt(Math.max(0, scatterOf(solution) ** 2 - medianOf(cuts.map((c) => c.sigma)) ** 2 - lip ** 2));
}

/**
 * Variance, mm^2, that the nuisances of one source (nuisance.ts) put into the offset within the joint fit: by how much it would fall if their factors were known, the
 * larger of x and y.
 */
function nuisanceVariance({ covariance, size, free, data: { nuisances = [] } }: Solution, source: Nuisance["source"]): number {
  let at = size - countOf(nuisances);
  const own: number[] = [];
  for (const n of nuisances) {
    for (let k = 0; k < n.count; k++) if (n.source === source) own.push(at + k);
    at += n.count;
  }
  if (own.length === 0) return 0;
  const factored = factor(Float64Array.from(own.flatMap((i) => own.map((j) => covariance[i * size + j]))), own.length);
  if ("undetermined" in factored) return 0;
  return Math.max(...[0, 1].map((axis) => {
    const cross = Float64Array.from(own, (j) => covariance[(free.length + axis) * size + j]);
    return factored.solve(cross).reduce((s, v, i) => s + v * cross[i], 0);
  }));
}
