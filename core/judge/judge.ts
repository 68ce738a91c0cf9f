import type { Judged, JudgedQuantity, Verdict } from "../check/record.ts";
import type { Covariance2 } from "../geometry/frames.ts";
import type { Tolerance } from "../job/schema.ts";
import { normalCdf } from "../statistics/normal.ts";
import { conformity, lengthUncertainty, radialConformity } from "./conformity.ts";

/** A measured value with its standard uncertainty, in the value's own unit. The sign is the contract's. */
export interface Estimate {
  readonly value: number;
  readonly u: number;
}

/** What a check hands to the judge: mm for position, offset and crease; mm/m for the others. */
export interface Estimates {
  /**
   * Deviation of the worst stretch over all cut features; `partly` where no more than about half of one of them was seen, or a long part is not in its place; `everywhere`: the deviations of all stretches, since one that is
   * smaller may be less sure to conform.
   */
  readonly position: Estimate & { readonly partly?: boolean; readonly everywhere?: readonly Estimate[] };
  readonly offset: { readonly x: number; readonly y: number; readonly cov: Covariance2<"print"> };
  readonly rotation: Estimate;
  readonly skew: Estimate;
  readonly scale: { readonly x: number; readonly y: number; readonly ux: number; readonly uy: number };
  /** Deviation of the worst stretch over all creases, where the job has creases and they were found. */
  readonly crease?: Estimate;
}

/** Probability of conformity from which a value is `in`, and up to which it is `out` (contract section 3). */
const IN_FROM = 0.95;
const OUT_TO = 0.05;

/** Of a cut that was not seen nothing is known: that it conforms is as likely as that it does not. */
const NOTHING_KNOWN = 0.5;

/**
 * Judges the values that the job has a tolerance for. `in` where every one conforms with 95 % or more, `out` where some one
 * does with 5 % or less, and lies beyond the nearer end of its limits as surely, else `unsure` (JCGM 106:2012; thresholds by the contract). U is k = 2. Every stretch must conform for the position to be `in`. Where a cut was not seen it never is: it may be anywhere, or not be cut at all.
 */
export function judge(estimates: Estimates, tolerance: Tolerance): { judged: Judged[]; verdict: Verdict } {
  const judged: Judged[] = [];
  const add = (what: JudgedQuantity, { value, u }: Estimate, limit: number | undefined, probability?: number): void => {
    if (limit === undefined) return;
    const p = probability ?? conformity(value, u, limit);
    // Known so little that it hardly conforms by chance, a value says nothing of the sheet: it is out where it lies beyond the nearer end of its limits as surely.
    const verdict = verdictOf(p) === "out" && !isBeyond(value, u, limit) ? "unsure" : verdictOf(p);
    judged.push({ what, value: Math.abs(value), U: 2 * u, limit, verdict, conformity: p });
  };
  const { offset, scale } = estimates;
  const { position } = estimates;
  const seen = [position, ...(position.everywhere ?? [])].reduce((least, { value, u }) => Math.min(least, conformity(value, u, tolerance.position)), position.partly ? NOTHING_KNOWN : 1);
  add("position", position, tolerance.position, seen);
  if (tolerance.offset !== undefined) {
    const length = { value: Math.hypot(offset.x, offset.y), u: lengthUncertainty(offset, offset.cov) };
    add("offset", length, tolerance.offset, radialConformity(offset, offset.cov, tolerance.offset));
  }
  add("rotation", estimates.rotation, tolerance.rotation);
  add("skew", estimates.skew, tolerance.skew);
  if (tolerance.scale !== undefined) {
    const both = [{ value: scale.x, u: scale.ux }, { value: scale.y, u: scale.uy }];
    add("scale", harder(both[0], both[1], tolerance.scale), tolerance.scale);
  }
  if (estimates.crease) add("crease", estimates.crease, tolerance.crease);
  return { judged, verdict: together(judged) };
}

/** Whether a value lies beyond the nearer end of its limits, whatever may lie beyond the other. */
function isBeyond(value: number, u: number, limit: number): boolean {
  const size = Math.abs(value);
  return u > 0 ? normalCdf((limit - size) / u) <= OUT_TO : size > limit;
}

/** The verdict of one probability of conformity. */
export function verdictOf(probability: number): Verdict {
  return probability >= IN_FROM ? "in" : probability <= OUT_TO ? "out" : "unsure";
}

/** The verdict of a sheet from those of its values: one `out` makes it `out`, all `in` make it `in`. */
export function together(judged: readonly { readonly verdict: Verdict }[]): Verdict {
  if (judged.some((j) => j.verdict === "out")) return "out";
  return judged.every((j) => j.verdict === "in") ? "in" : "unsure";
}

/** Of two values under one limit, the one less likely to conform; where both are as likely, the larger one. */
function harder(a: Estimate, b: Estimate, limit: number): Estimate {
  const difference = conformity(a.value, a.u, limit) - conformity(b.value, b.u, limit);
  if (difference !== 0) return difference < 0 ? a : b;
  return Math.abs(a.value) >= Math.abs(b.value) ? a : b;
}
