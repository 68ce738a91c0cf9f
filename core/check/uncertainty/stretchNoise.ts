import { medianOf } from "../../statistics/median.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";

/** What was measured along a stretch of a cut or crease. */
export interface RawStretch {
  readonly x: number;
  readonly y: number;
  readonly nx: number;
  readonly ny: number;
  /** Mean of the model over the stretch, and of what was measured, mm. */
  readonly model: number;
  readonly measured: number;
  /** Chunks found, and the half difference of the two halves as a measure of noise. */
  readonly found: number;
  readonly split: number;
  /** The knife has left its path there, beyond doubt; or the whole piece has moved. */
  readonly left: boolean;
  /** The knife alone has. */
  readonly strayed: boolean;
  /** Variance of the model there, mm^2; of a stretch that is not seen, with what the terms might do that the cuts cannot support. */
  readonly variance: number;
  /** Variance of the mean measured by what the pixels of its chunks' profiles tell, mm^2. */
  readonly told: number;
  /** Variance that the board's wall leaves to it, alike along a whole side, mm^2. */
  readonly walled: number;
  /** What its lip leaves to it, alike along a whole side, mm (standard uncertainty). */
  readonly lip: number;
}

/** A traced subpath with its stretches, and how much of its length was found, mm. */
export interface RawPath {
  /** What of it can be looked at, mm. */
  readonly length: number;
  readonly covered: number;
  readonly stretches: readonly RawStretch[];
}

/** Variance of a stretch's mean (0 where there are too few to tell) from the difference of neighbouring stretches and of each stretch's halves, mm^2 (robust). Where the knife has left the path they differ by more than noise. */
export function commonNoise(paths: readonly RawPath[]): number {
  const differences: number[] = [];
  for (const { stretches } of paths) {
    for (let i = 1; i < stretches.length; i++) {
      const [a, b] = [stretches[i - 1], stretches[i]];
      if (a.found > 0 && b.found > 0 && !a.left && !b.left) differences.push(Math.abs(a.measured - a.model - b.measured + b.model) / Math.SQRT2);
    }
  }
  if (differences.length < 4) for (const { stretches } of paths) for (const s of stretches) if (Number.isFinite(s.split)) differences.push(Math.abs(s.split));
  return differences.length > 3 ? Math.max(1e-3, robustSigma(differences)) ** 2 : 0;
}

/** A blade that wanders much does so by this over ten millimetres, mm (standard deviation; common practice, no source). */
const WIDE_WANDER = 0.02;
/** So many times what the pixels tell, standard deviations, is the least that a stretch's noise is taken to be: texture along a profile is in what they tell only by part. */
const TOLD = 1.5;

/** What stretches differ by is noise and the blade's own wander: where the pixels tell of less noise, as much of it as a blade wanders is taken for wander. Variances, mm^2. */
export function withoutWander(scatter: number, all: readonly RawStretch[]): number {
  const told = all.filter((s) => s.found > 0).map((s) => s.told);
  if (told.length === 0) return scatter;
  return Math.min(scatter, Math.max(1e-6, TOLD ** 2 * medianOf(told), scatter - WIDE_WANDER ** 2));
}

/** So many stretches to either side tell how noisy it is about one. */
const NEAR = 6;

/**
 * Variance of each stretch, mm^2, no less than `least`, by how far those about it lie from the middle of their neighbours (robust): artwork beside one side of a cut makes it noisier than the others. Where a
 * blade wanders it does so smoothly; where it has `left` its path nothing is told.
 */
export function noiseNear(rest: readonly number[], left: readonly boolean[], least: number): number[] {
  const off = rest.map((v, i) => (i === 0 || i === rest.length - 1 || left[i - 1] || left[i] || left[i + 1] ? null : (v - (rest[i - 1] + rest[i + 1]) / 2) / Math.sqrt(1.5)));
  return rest.map((_, i) => {
    const some = off.slice(Math.max(0, i - NEAR), i + NEAR + 1).filter((d) => d !== null);
    return Math.max(least, some.length > NEAR ? robustSigma(some) ** 2 : 0);
  });
}
