import { tCdf, tQuantile } from "../statistics/distributions.ts";
import { mean, standardDeviation } from "../trend/individuals.ts";
import { fitLine, residualDeviation, slopeInterval } from "../trend/line.ts";

/** A reading of a sheet whose true value is known, both in one unit. */
export interface KnownReading {
  readonly reference: number;
  readonly value: number;
}

/** Mean error of the readings with its 95 % interval and the two-sided p of "no bias". */
export interface Bias {
  readonly n: number;
  readonly bias: number;
  readonly low: number;
  readonly high: number;
  readonly p: number;
}

/** How the error changes with the true value: error = intercept + slope reference, with the slope's 95 % interval. */
export interface Linearity {
  readonly intercept: number;
  readonly slope: number;
  readonly slopeLow: number;
  readonly slopeHigh: number;
  readonly residualSd: number;
}

/** Bias by Student's t; null for fewer than two readings or readings without any scatter in their errors. */
export function biasOf(readings: readonly KnownReading[]): Bias | null {
  const errors = readings.map((r) => r.value - r.reference);
  const [n, s] = [errors.length, standardDeviation(errors)];
  if (!(s > 0)) return null;
  const bias = mean(errors);
  const u = s / Math.sqrt(n);
  const reach = tQuantile(0.975, n - 1) * u;
  return { n, bias, low: bias - reach, high: bias + reach, p: 2 * tCdf(-Math.abs(bias) / u, n - 1) };
}

/** Linearity by least squares; null where fewer than two true values differ or fewer than three readings are there. */
export function linearityOf(readings: readonly KnownReading[]): Linearity | null {
  const line = fitLine(readings.map((r) => r.reference), readings.map((r) => r.value - r.reference));
  if (!line) return null;
  const { low, high } = slopeInterval(line);
  return { intercept: line.yMean - line.slope * line.xMean, slope: line.slope, slopeLow: low, slopeHigh: high, residualSd: residualDeviation(line) };
}

/** Result of a length check: every error must lie within A + L/K. */
export interface LengthCheck {
  readonly n: number;
  readonly passed: boolean;
  /** The measured length that uses most of what is permitted, and how much of it (1 = all). */
  readonly worst: { readonly reference: number; readonly error: number; readonly permitted: number; readonly share: number };
}

/**
 * Length check in the spirit of ISO 10360-7: |measured - true| <= A + L/K for every length (A in mm, L in mm, K without unit).
 * The form of the limit: from memory. Null without readings.
 */
export function lengthCheck(readings: readonly KnownReading[], a: number, k: number): LengthCheck | null {
  const checked = readings.map(({ reference, value }) => {
    const permitted = a + Math.abs(reference) / k;
    return { reference, error: value - reference, permitted, share: Math.abs(value - reference) / permitted };
  });
  if (checked.length === 0) return null;
  const worst = checked.reduce((w, c) => (c.share > w.share ? c : w));
  return { n: checked.length, passed: worst.share <= 1, worst };
}
