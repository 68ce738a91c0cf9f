import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { betaQuantile, fQuantile } from "../statistics/distributions.ts";
import { mean, type Baseline } from "./individuals.ts";

/** False-alarm probability of a T^2 chart: that of three sigma on a chart of one value. */
const T2_ALPHA = 0.0027;

/** A T^2 chart of individuals by data row; null where a value of the row is missing. */
export interface T2 {
  readonly values: readonly (number | null)[];
  /** Limit for rows of the baseline itself (beta); null where the baseline is too short. */
  readonly uclInside: number | null;
  /** Limit for rows after it (F). */
  readonly uclAfter: number;
}

/**
 * Hotelling's T^2 of individuals: (x - c)' S^-1 (x - c), with centre c and covariance S (divisor m - 1) of the m complete
 * baseline rows. `columns` holds one series per variable. A reason is returned where S cannot be inverted.
 *
 * Inside the baseline T^2 m/(m-1)^2 is beta(p/2, (m-p-1)/2) (Tracy, Young and Mason 1992); after it the limit is
 * p(m+1)(m-1)/(m(m-p)) F(p, m-p) (NIST/SEMATECH e-Handbook 6.5.4.3.4).
 */
export function hotelling(columns: readonly (readonly number[])[], baseline: Baseline, alpha = T2_ALPHA): T2 | { reason: string } {
  const p = columns.length;
  const complete = (i: number): boolean => columns.every((c) => !Number.isNaN(c[i]));
  const rows: number[] = [];
  for (let i = baseline.from - 1; i < baseline.to; i++) if (complete(i)) rows.push(i);
  const m = rows.length;
  if (m < p + 1) return { reason: `the baseline has ${m} complete rows; T2 of ${p} values needs at least ${p + 1}` };
  const centre = columns.map((c) => mean(rows.map((i) => c[i])));
  const covariance = Matrix.zeros(p, p);
  for (let a = 0; a < p; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (const i of rows) sum += (columns[a][i] - centre[a]) * (columns[b][i] - centre[b]);
      covariance.set(a, b, sum / (m - 1)).set(b, a, sum / (m - 1));
    }
  }
  const values = t2Distances(columns, centre, covariance.to2DArray());
  return values ? { values, ...t2Limits(p, m, alpha) } : { reason: "the baseline's values do not vary independently" };
}

/** (x - centre)' covariance^-1 (x - centre) of each complete row, null for the others; null where the covariance cannot be inverted. */
export function t2Distances(columns: readonly (readonly number[])[], centre: readonly number[], covariance: readonly (readonly number[])[]): (number | null)[] | null {
  const inverse = inverseOf(new Matrix(covariance.map((row) => [...row])));
  if (!inverse) return null;
  const distance = new Float64Array(columns.length);
  return columns[0].map((_, i) => {
    if (!columns.every((c) => !Number.isNaN(c[i]))) return null;
    for (let a = 0; a < columns.length; a++) distance[a] = columns[a][i] - centre[a];
    return quadratic(inverse, distance);
  });
}

/** Limits of T^2 for individuals of p variables and a baseline of m rows. */
function t2Limits(p: number, m: number, alpha = T2_ALPHA): { uclInside: number | null; uclAfter: number } {
  return {
    uclInside: m > p + 1 ? ((m - 1) ** 2 / m) * betaQuantile(1 - alpha, p / 2, (m - p - 1) / 2) : null,
    uclAfter: ((p * (m + 1) * (m - 1)) / (m * (m - p))) * fQuantile(1 - alpha, p, m - p),
  };
}

function inverseOf(covariance: Matrix): number[][] | null {
  // In correlation form, so that the test for singularity does not depend on the units.
  const scale = covariance.diag().map((v) => 1 / Math.sqrt(v));
  if (!scale.every(Number.isFinite)) return null;
  const p = scale.length;
  const correlation = new Matrix(Array.from({ length: p }, (_, a) => Array.from({ length: p }, (_, b) => covariance.get(a, b) * (scale[a] * scale[b]))));
  const cholesky = new CholeskyDecomposition(correlation);
  if (!cholesky.isPositiveDefinite() || Math.min(...cholesky.lowerTriangularMatrix.diag()) < 1e-7) return null;
  const inverse = cholesky.solve(Matrix.eye(p));
  return inverse.to2DArray().map((row, a) => row.map((v, b) => v * scale[a] * scale[b]));
}

function quadratic(inverse: readonly (readonly number[])[], d: Float64Array): number {
  let sum = 0;
  for (let a = 0; a < d.length; a++) for (let b = 0; b < d.length; b++) sum += d[a] * inverse[a][b] * d[b];
  return sum;
}
