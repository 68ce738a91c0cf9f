import { CholeskyDecomposition, Matrix } from "ml-matrix";

/**
 * A symmetric positive definite system, factored after it is scaled to a unit diagonal. Scaling makes the smallest
 * pivot a measure of dependence: pivot i is 1 - R^2 of parameter i on those before it, whatever the units.
 */
export interface Factored {
  /** Solves A x = b. */
  solve(b: Float64Array): Float64Array;
  /** A^-1, n x n, row-major. */
  inverse(): Float64Array;
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
  const scaled = new Matrix(n, n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const v = a[i * n + j] * scale[i] * scale[j];
      scaled.set(i, j, v);
      scaled.set(j, i, v);
    }
    scaled.set(i, i, 1 + damping);
  }
  const cholesky = new CholeskyDecomposition(scaled);
  const lower = cholesky.lowerTriangularMatrix;
  for (let i = 0; i < n; i++) {
    const pivot = lower.get(i, i);
    if (!(pivot * pivot > SMALLEST_PIVOT)) return { undetermined: i };
  }
  return {
    solve(b) {
      const x = cholesky.solve(Matrix.columnVector(Array.from(b, (v, i) => v * scale[i])));
      return Float64Array.from(scale, (s, i) => s * x.get(i, 0));
    },
    inverse() {
      const x = cholesky.solve(Matrix.eye(n));
      const out = new Float64Array(n * n);
      for (let i = 0; i < n; i++) {
        for (let j = 0; j < n; j++) out[i * n + j] = 0.5 * (x.get(i, j) + x.get(j, i)) * scale[i] * scale[j];
      }
      return out;
    },
  };
}
