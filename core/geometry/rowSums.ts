/**
 * Takes one observation: `jacobianRow` = d(predicted)/d(parameters), n values (copied, so the caller may use one array
 * again and again); `residual` = observed - predicted; `weight` = 1/variance up to a common factor (0 leaves it out).
 */
export type AddRow = (jacobianRow: Float64Array, residual: number, weight: number) => void;

/** Rows summed at one go: each element of the matrix is then loaded and stored once per block, not once per row. */
const BLOCK = 4;

/** The normal equations J'WJ and J'Wr of n parameters, summed row by row; no row is kept. */
export class NormalEquations {
  readonly n: number;
  /** J'WJ, n x n row-major, both triangles. */
  readonly matrix: Float64Array;
  /** J'Wr. */
  readonly gradient: Float64Array;
  /** Sum of weight * residual^2. */
  cost = 0;
  /** Rows with a weight that is not zero. */
  rows = 0;
  private readonly block: Float64Array;
  private readonly weights = new Float64Array(BLOCK);
  private filled = 0;

  constructor(n: number) {
    this.n = n;
    this.matrix = new Float64Array(n * n);
    this.gradient = new Float64Array(n);
    this.block = new Float64Array(BLOCK * n);
  }

  /** Starts from zero and sums what `give` hands to its `add`. */
  sum(give: (add: AddRow) => void): void {
    this.matrix.fill(0);
    this.gradient.fill(0);
    this.cost = 0;
    this.rows = 0;
    this.filled = 0;
    give((row, residual, weight) => this.add(row, residual, weight));
    if (this.filled > 0) this.padBlock();
    const { matrix, n } = this;
    for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) matrix[j * n + i] = matrix[i * n + j];
  }

  private add(row: Float64Array, residual: number, weight: number): void {
    if (weight === 0) return;
    const { n, gradient, block } = this;
    this.rows++;
    this.cost += weight * residual * residual;
    const wr = weight * residual;
    const at = this.filled * n;
    for (let i = 0; i < n; i++) {
      const v = row[i];
      block[at + i] = v;
      gradient[i] += wr * v;
    }
    this.weights[this.filled] = weight;
    if (++this.filled === BLOCK) this.flush();
  }

  private padBlock(): void {
    this.block.fill(0, this.filled * this.n);
    this.weights.fill(0, this.filled);
    this.flush();
  }

  private flush(): void {
    const { n, matrix, block, weights } = this;
    const w0 = weights[0];
    const w1 = weights[1];
    const w2 = weights[2];
    const w3 = weights[3];
    const b1 = n;
    const b2 = 2 * n;
    const b3 = 3 * n;
    for (let i = 0; i < n; i++) {
      const v0 = w0 * block[i];
      const v1 = w1 * block[b1 + i];
      const v2 = w2 * block[b2 + i];
      const v3 = w3 * block[b3 + i];
      if (v0 === 0 && v1 === 0 && v2 === 0 && v3 === 0) continue;
      const at = i * n;
      for (let j = 0; j <= i; j++) {
        matrix[at + j] += v0 * block[j] + v1 * block[b1 + j] + v2 * block[b2 + j] + v3 * block[b3 + j];
      }
    }
    this.filled = 0;
  }
}
