/**
 * A symmetric positive definite system, factored after it is scaled to a unit diagonal. Scaling makes the smallest
 * pivot a measure of dependence: pivot i is 1 - R^2 of parameter i on those before it, whatever the units. Cholesky on flat
 * arrays: thousands of 4 x 4 systems are solved per picture, where a matrix class costs more than the arithmetic.
 */
export class Factored {
  private readonly n: number;
  /** Of the scaled matrix, row-major. */
  private readonly lower: Float64Array;
  private readonly scale: Float64Array;

  constructor(n: number, lower: Float64Array, scale: Float64Array) {
    this.n = n;
    this.lower = lower;
    this.scale = scale;
  }

  /** Solves A x = b. */
  solve(b: ArrayLike<number>): Float64Array {
    const { n, lower, scale } = this;
    const x = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      let v = b[i] * scale[i];
      for (let k = 0; k < i; k++) v -= lower[i * n + k] * x[k];
      x[i] = v / lower[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      let v = x[i];
      for (let k = i + 1; k < n; k++) v -= lower[k * n + i] * x[k];
      x[i] = v / lower[i * n + i];
    }
    for (let i = 0; i < n; i++) x[i] *= scale[i];
    return x;
  }

  /** A^-1, n x n, row-major. */
  inverse(): Float64Array {
    const { n } = this;
    const out = new Float64Array(n * n);
    const unit = new Float64Array(n);
    for (let j = 0; j < n; j++) {
      unit.fill(0);
      unit[j] = 1;
      const column = this.solve(unit);
      for (let i = 0; i < n; i++) out[i * n + j] = column[i];
    }
    for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) out[i * n + j] = out[j * n + i] = 0.5 * (out[i * n + j] + out[j * n + i]);
    return out;
  }

  /** Natural logarithm of the determinant of A. */
  get logDeterminant(): number {
    const { n, lower, scale } = this;
    let sum = 0;
    for (let i = 0; i < n; i++) sum += 2 * Math.log(lower[i * n + i] / scale[i]);
    return sum;
  }
}

/** Below this share of its own variance a parameter counts as given by the others (rounding of J'J is about n 1e-16). */
const SMALLEST_PIVOT = 1e-13;

/**
 * Factors the n x n matrix `a` (row-major, both triangles filled). `damping` is added to the scaled unit diagonal
 * (Levenberg-Marquardt). Returns the index of the first parameter that is not determined where there is one.
 */
export function factor(a: Float64Array, n: number, damping = 0): Factored | { undetermined: number } {
  const scale = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const diagonal = a[i * n + i];
    if (!(diagonal > 0) || !Number.isFinite(diagonal)) return { undetermined: i };
    scale[i] = 1 / Math.sqrt(diagonal);
  }
  const lower = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let v = i === j ? 1 + damping : a[i * n + j] * scale[i] * scale[j];
      for (let k = 0; k < j; k++) v -= lower[i * n + k] * lower[j * n + k];
      if (i === j) {
        if (!(v > SMALLEST_PIVOT)) return { undetermined: i };
        lower[i * n + i] = Math.sqrt(v);
      } else {
        lower[i * n + j] = v / lower[j * n + j];
      }
    }
  }
  return new Factored(n, lower, scale);
}
