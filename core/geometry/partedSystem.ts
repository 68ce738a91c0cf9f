/**
 * A symmetric positive definite system A x = b whose last unknowns are in no other one, to be summed with others that have the first ones in common: Cholesky from the last unknown on, stopped where the common ones
 * begin, leaves their own system (the Schur complement) in place.
 */
export class PartedSystem {
  /** n x n, row-major; only the lower triangle is read. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  private readonly n: number;
  private readonly shared: number;

  /** @param own how many of the n unknowns, the last ones, are its own. */
  constructor(n: number, own: number) {
    this.n = n;
    this.shared = n - own;
    this.matrix = new Float64Array(n * n);
    this.right = new Float64Array(n);
  }

  /**
   * Takes its own unknowns out: the first rows of `matrix` and `right` are the equations of the others then. Returns by how much its own ones alone lower the sum of squares, and the natural logarithm of the determinant of
   * their part of A: the whole determinant is that part's times the rest's.
   */
  takeOut(): { explained: number; logDeterminant: number } {
    const { n, shared, matrix, right } = this;
    let explained = 0;
    let logDeterminant = 0;
    for (let p = n - 1; p >= shared; p--) {
      const at = n * p;
      const root = Math.sqrt(matrix[at + p]);
      logDeterminant += 2 * Math.log(root);
      for (let b = 0; b <= p; b++) matrix[at + b] /= root;
      right[p] /= root;
      explained += right[p] ** 2;
      for (let a = 0; a < p; a++) {
        const v = matrix[at + a];
        right[a] -= v * right[p];
        for (let b = 0; b <= a; b++) matrix[n * a + b] -= v * matrix[at + b];
      }
    }
    return { explained, logDeterminant };
  }

  /** All unknowns, from the common ones, after its own were taken out. */
  putBack(common: Float64Array): Float64Array {
    const { n, shared, matrix, right } = this;
    const x = new Float64Array(n);
    x.set(common);
    for (let p = shared; p < n; p++) {
      let v = right[p];
      for (let b = 0; b < p; b++) v -= matrix[n * p + b] * x[b];
      x[p] = v / matrix[n * p + p];
    }
    return x;
  }
}
