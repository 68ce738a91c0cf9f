/** Constants for moving ranges of two, as the control chart tables print them (exact: 2/sqrt(pi) and 1 + 3 d3/d2 = 3.2665). */
export const D2 = 1.128;
export const D4 = 3.267;

/** The values of a run: `values[i]` is data row i + 1, NaN where nothing was measured. */
export type Series = readonly number[];

/** Data rows `from` to `to`, counted from 1, both included. */
export interface Baseline {
  readonly from: number;
  readonly to: number;
}

/** What the baseline says of the process, in the data's unit. */
export interface Baselined {
  /** Mean of the measured baseline values. */
  readonly centre: number;
  /** Number of measured baseline values. */
  readonly n: number;
  /** Mean moving range; null where no two neighbouring rows were measured. */
  readonly movingRange: number | null;
  /** Mean moving range / d2: the scatter from sheet to sheet, without slow drift; null as above. */
  readonly sigmaWithin: number | null;
}

/**
 * Centre and sheet-to-sheet scatter of the baseline rows. Moving ranges are taken between neighbouring rows only, not
 * across a gap. NIST/SEMATECH e-Handbook 6.3.2.2. Null where nothing was measured in the baseline.
 */
export function fromBaseline(values: Series, baseline: Baseline): Baselined | null {
  const rows = values.slice(baseline.from - 1, baseline.to);
  const measured = rows.filter((v) => !Number.isNaN(v));
  if (measured.length === 0) return null;
  const ranges = movingRanges(rows).filter((v) => !Number.isNaN(v));
  const movingRange = ranges.length > 0 ? mean(ranges) : null;
  return { centre: mean(measured), n: measured.length, movingRange, sigmaWithin: movingRange === null ? null : movingRange / D2 };
}

/** |x_i - x_(i-1)| by row; NaN for the first row and where either value is missing. */
export function movingRanges(values: Series): number[] {
  return values.map((v, i) => (i === 0 ? Number.NaN : Math.abs(v - values[i - 1])));
}

/** Three-sigma limits of the individuals chart. */
export function individualsLimits(centre: number, sigma: number): { lcl: number; ucl: number } {
  return { lcl: centre - 3 * sigma, ucl: centre + 3 * sigma };
}

/** Arithmetic mean, summed about the first value so that a large common part costs no digits. */
export function mean(values: readonly number[]): number {
  if (values.length === 0) return Number.NaN;
  const origin = values[0];
  let sum = 0;
  for (const v of values) sum += v - origin;
  return origin + sum / values.length;
}

/** Standard deviation with n - 1; NaN for fewer than two values. */
export function standardDeviation(values: readonly number[]): number {
  if (values.length < 2) return Number.NaN;
  const m = mean(values);
  let sum = 0;
  for (const v of values) sum += (v - m) ** 2;
  return Math.sqrt(sum / (values.length - 1));
}

/** Indices of the measured rows, from 0. */
export function measuredRows(values: Series): number[] {
  const rows: number[] = [];
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i])) rows.push(i);
  return rows;
}
