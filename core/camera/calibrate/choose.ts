import fCdf from "@stdlib/stats-base-dists-f-cdf";
import { isInRange, undistort } from "../lens.ts";
import type { LensTerm, TargetPoint } from "./model.ts";
import { PINHOLE, calibratePlanar } from "./planar.ts";
import type { NoCalibration, PlanarCalibration } from "./planar.ts";

/** Lens models from simple to rich; each holds the terms of those before it. */
const MODELS: readonly (readonly LensTerm[])[] = [
  [],
  ["k1"],
  ["k1", "k2"],
  ["k1", "k2", "p1", "p2"],
  ["k1", "k2", "p1", "p2", "k3"],
];

/** A richer model must be demanded this clearly: with thousands of residuals that are not quite independent, 5 % is asked for by chance too often. */
const SIGNIFICANCE = 0.001;

export interface ModelTrial {
  readonly terms: readonly LensTerm[];
  readonly rms: number;
  /** Akaike's information criterion with the correction for small samples (Hurvich & Tsai 1989), up to a constant. */
  readonly aicc: number;
  /** Probability of so large a gain over the model chosen before, were the added terms zero; 1 for the first. */
  readonly p: number;
}

/**
 * Calibrates with richer and richer lens models and keeps the richest that an F test asks for (at 0.1 %), that AICc agrees with and that
 * stays monotonic over the picture.
 */
export function calibrateChoosing(
  views: readonly (readonly TargetPoint[])[], width: number, height: number,
): (PlanarCalibration & { readonly trials: readonly ModelTrial[] }) | NoCalibration {
  const first = calibratePlanar(views, width, height, PINHOLE);
  if (!first.ok) return first;
  let best = first;
  const trials: ModelTrial[] = [{ terms: [], rms: first.rms, aicc: aicc(first), p: 1 }];
  for (const extra of MODELS.slice(1)) {
    const next = calibratePlanar(views, width, height, [...PINHOLE, ...extra], best);
    if (!next.ok) continue;
    const p = chanceOfGain(best, next);
    trials.push({ terms: extra, rms: next.rms, aicc: aicc(next), p });
    if (p < SIGNIFICANCE && aicc(next) < aicc(best) && coversPicture(next, width, height)) best = next;
  }
  return { ...best, trials };
}

/** F test of nested fits: the probability of at least this gain if the added terms were zero. */
function chanceOfGain(simple: PlanarCalibration, rich: PlanarCalibration): number {
  const added = rich.parameters - simple.parameters;
  const freedom = rich.rows - rich.parameters;
  if (added <= 0 || freedom <= 0 || !(rich.cost > 0)) return rich.cost < simple.cost ? 0 : 1;
  const f = (simple.cost - rich.cost) / added / (rich.cost / freedom);
  return f > 0 ? 1 - fCdf(f, added, freedom) : 1;
}

function aicc({ cost, rows, parameters }: PlanarCalibration): number {
  const k = parameters + 1;
  return rows * Math.log(cost / rows) + 2 * k + (2 * k * (k + 1)) / Math.max(1, rows - k - 1);
}

/** Whether every corner of the picture can be traced back through the lens. */
function coversPicture({ lens }: PlanarCalibration, width: number, height: number): boolean {
  return [[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]].every(([u, v]) => {
    const ideal = undistort(lens, u, v);
    return ideal.ok && isInRange(lens, ideal.x, ideal.y);
  });
}
