import type { JudgedQuantity } from "../check/record.ts";
import type { Tolerance } from "../job/schema.ts";

/** What is true of a cut sheet. Frames, units and signs as in the check record. */
export interface TrueValues {
  readonly offset: { readonly x: number; readonly y: number; readonly length: number };
  readonly rotation: number;
  readonly skew: number;
  readonly scale: { readonly x: number; readonly y: number };
  readonly worst: WorstPlace;
  /** The same over the creases; null where the job has none. */
  readonly crease: WorstPlace | null;
}

export interface WorstPlace {
  readonly value: number;
  readonly feature: string;
  readonly x: number;
  readonly y: number;
}

/** A true value under its limit. */
export interface TrueVerdict {
  readonly what: JudgedQuantity;
  /** Its size: mm, or mm/m. */
  readonly value: number;
  readonly limit: number;
  readonly verdict: "in" | "out";
}

/** True values under all of a job's limits (contract section 2: position always, each other one only where the job gives it). */
export function trueVerdicts(truth: TrueValues, tolerance: Tolerance): { judged: TrueVerdict[]; verdict: "in" | "out" } {
  const sizes: readonly (readonly [JudgedQuantity, number | undefined])[] = [
    ["position", truth.worst.value], ["offset", truth.offset.length], ["rotation", truth.rotation], ["skew", truth.skew],
    ["scale", Math.max(Math.abs(truth.scale.x), Math.abs(truth.scale.y))], ["crease", truth.crease?.value],
  ];
  const judged = sizes.flatMap(([what, signed]): TrueVerdict[] => {
    const limit = tolerance[what];
    if (limit === undefined || signed === undefined) return [];
    const value = Math.abs(signed);
    return [{ what, value, limit, verdict: value <= limit ? "in" : "out" }];
  });
  return { judged, verdict: judged.every((j) => j.verdict === "in") ? "in" : "out" };
}
