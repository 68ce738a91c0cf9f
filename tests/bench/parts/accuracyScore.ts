import type { Measured } from "../../../core/check/record.ts";
import type { TrialResult } from "./accuracyTrial.ts";

/** Errors of one measured picture against its truth, each with its stated U. */
export interface Scored {
  readonly errors: Readonly<Record<Quantity, { readonly error: number; readonly U: number }>>;
  /** What is wrong beyond doubt: a verdict against the truth, a far-off value, a wrong sheet or view; empty when nothing. */
  readonly wrong: readonly string[];
}

export const QUANTITIES = ["offset", "rotation", "scale", "skew", "worst"] as const;
export type Quantity = (typeof QUANTITIES)[number];

/** A value further off than this was measured on the wrong thing, mm. */
const FAR_OFF = 0.5;

export function score({ truth, tolerance }: TrialResult, record: Measured): Scored {
  const sx = record.scale.x - truth.scale.x;
  const sy = record.scale.y - truth.scale.y;
  const errors = {
    offset: { error: Math.hypot(record.offset.x - truth.offset.x, record.offset.y - truth.offset.y), U: record.offset.U },
    rotation: { error: Math.abs(record.rotation.value - truth.rotation), U: record.rotation.U },
    scale: { error: Math.max(Math.abs(sx), Math.abs(sy)), U: record.scale.U },
    skew: { error: Math.abs(record.skew.value - truth.skew), U: record.skew.U },
    // Two stretches may be all but equally far off to opposite sides: the size is what is judged.
    worst: { error: Math.abs(Math.abs(record.worst.value) - Math.abs(truth.worst.value)), U: record.worst.U },
  };
  const wrong: string[] = [];
  if (errors.offset.error > FAR_OFF || errors.worst.error > FAR_OFF) wrong.push(`off by ${Math.max(errors.offset.error, errors.worst.error).toFixed(2)} mm`);
  const position = record.judged.find((j) => j.what === "position")?.verdict;
  const truly = Math.abs(truth.worst.value) <= tolerance ? "in" : "out";
  if (position && position !== "unsure" && position !== truly) wrong.push(`position said ${position}, is ${truly} (${truth.worst.value.toFixed(3)} mm)`);
  if (record.sheet !== undefined && record.sheet !== truth.sheet) wrong.push(`sheet ${record.sheet}, is ${truth.sheet}`);
  if (record.view.mirrored !== truth.view.mirrored) wrong.push("mirrored the wrong way");
  const turn = Math.abs(((record.view.turn - truth.view.turn + 540) % 360) - 180);
  if (turn > 3) wrong.push(`turn ${record.view.turn.toFixed(1)}, is ${truth.view.turn.toFixed(1)}`);
  return { errors, wrong };
}

/** The p-quantile of some values, by linear interpolation; NaN of none. */
export function quantile(values: readonly number[], p: number): number {
  if (values.length === 0) return Number.NaN;
  const sorted = values.toSorted((a, b) => a - b);
  const at = p * (sorted.length - 1);
  const low = Math.floor(at);
  return sorted[low] + (at - low) * (sorted[Math.min(low + 1, sorted.length - 1)] - sorted[low]);
}
