import { Matrix, QrDecomposition } from "ml-matrix";

export interface LinearFit {
  readonly ok: true;
  readonly parameters: Float64Array;
  /** (X'WX)^-1, n x n row-major; the covariance of the parameters is this times sigma0^2 (or times 1 for weights 1/variance). */
  readonly cofactor: Float64Array;
  /** Observed - fitted, unweighted. */
  readonly residuals: Float64Array;
  /** Sum of weight * residual^2. */
  readonly cost: number;
  readonly degreesOfFreedom: number;
  /** sqrt(cost / degreesOfFreedom), the standard deviation of an observation of weight one; 0 without redundancy. */
  readonly sigma0: number;
}

export interface NoFit {
  readonly ok: false;
  readonly reason: string;
}

/** What |R_ii| of a column scaled to length one must exceed: below, the column is a sum of those before it. */
const SMALLEST_COLUMN = 1e-14;

/**
 * Weighted linear least squares y = X b by Householder QR of the columns scaled to unit length, with one step of
 * refinement by the residuals (Golub & Van Loan, Matrix Computations, 5.3.8). X is m x n, `weights` are 1/variance up
 * to a common factor. Fails with a reason, not an exception, where X does not determine b.
 */
export function linearLeastSquares(
  design: readonly (readonly number[])[], observed: readonly number[], weights?: readonly number[],
): LinearFit | NoFit {
  const m = design.length;
  const n = m > 0 ? design[0].length : 0;
  if (m < n || n === 0) return { ok: false, reason: `${m} observations cannot determine ${n} parameters` };
  const root = Float64Array.from({ length: m }, (_, i) => Math.sqrt(weights ? weights[i] : 1));
  const scale = columnLengths(design, root, n);
  if (scale.some((s) => !(s > 0) || !Number.isFinite(s))) return { ok: false, reason: "a column of the model is zero or not finite" };

  const scaled = new Matrix(m, n);
  for (let i = 0; i < m; i++) for (let j = 0; j < n; j++) scaled.set(i, j, (design[i][j] * root[i]) / scale[j]);
  const qr = new QrDecomposition(scaled);
  const upper = qr.upperTriangularMatrix;
  for (let i = 0; i < n; i++) {
    if (!(Math.abs(upper.get(i, i)) > SMALLEST_COLUMN)) {
      return { ok: false, reason: `parameter ${i + 1} of ${n} is not determined by the observations` };
    }
  }
  const parameters = new Float64Array(n);
  let residuals = residualsOf(design, observed, parameters);
  for (let pass = 0; pass < 2; pass++) {
    const step = qr.solve(Matrix.columnVector(Array.from(residuals, (r, i) => r * root[i])));
    for (let j = 0; j < n; j++) parameters[j] += step.get(j, 0) / scale[j];
    residuals = residualsOf(design, observed, parameters);
  }
  const cost = residuals.reduce((s, r, i) => s + (r * root[i]) ** 2, 0);
  const degreesOfFreedom = m - n;
  const sigma0 = degreesOfFreedom > 0 ? Math.sqrt(cost / degreesOfFreedom) : 0;
  return { ok: true, parameters, cofactor: cofactorOf(upper, scale), residuals, cost, degreesOfFreedom, sigma0 };
}

function columnLengths(design: readonly (readonly number[])[], root: Float64Array, n: number): Float64Array {
  const lengths = new Float64Array(n);
  design.forEach((row, i) => row.forEach((v, j) => (lengths[j] += (v * root[i]) ** 2)));
  return lengths.map(Math.sqrt);
}

function residualsOf(
  design: readonly (readonly number[])[], observed: readonly number[], parameters: Float64Array,
): Float64Array {
  return Float64Array.from(design, (row, i) => observed[i] - compensatedDot(row, parameters));
}

/** A dot product with the rounding errors of the sums carried along (Neumaier 1974): the refinement needs good residuals. */
function compensatedDot(row: readonly number[], parameters: Float64Array): number {
  let sum = 0;
  let lost = 0;
  for (let j = 0; j < row.length; j++) {
    const term = row[j] * parameters[j];
    const next = sum + term;
    lost += Math.abs(sum) >= Math.abs(term) ? sum - next + term : term - next + sum;
    sum = next;
  }
  return sum + lost;
}

/** (R'R)^-1 by back substitution, unscaled. */
function cofactorOf(upper: Matrix, scale: Float64Array): Float64Array {
  const n = scale.length;
  const inverse = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    inverse[j * n + j] = 1 / upper.get(j, j);
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum += upper.get(i, k) * inverse[k * n + j];
      inverse[i * n + j] = -sum / upper.get(i, i);
    }
  }
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      let sum = 0;
      for (let k = Math.max(i, j); k < n; k++) sum += inverse[i * n + k] * inverse[j * n + k];
      out[i * n + j] = sum / (scale[i] * scale[j]);
    }
  }
  return out;
}
