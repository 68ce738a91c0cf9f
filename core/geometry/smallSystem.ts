/** Below this share of its own variance a term counts as given by those before it. */
const SMALLEST_PIVOT = 1e-10;

/**
 * Normal equations of a few terms, summed and solved by Cholesky tens of thousands of times in a picture: its arrays are made once and used again, since making small ones costs more than the
 * arithmetic. What `solve` finds stands until the next call.
 */
export class SmallSystem {
  readonly terms: number;
  /** Row-major with `terms` to a row; only the lower triangle is read. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  readonly solution: Float64Array;
  private readonly lower: Float64Array;
  private readonly column: Float64Array;

  constructor(terms: number) {
    this.terms = terms;
    this.matrix = new Float64Array(terms * terms);
    this.right = new Float64Array(terms);
    this.solution = new Float64Array(terms);
    this.lower = new Float64Array(terms * terms);
    this.column = new Float64Array(terms);
  }

  /** Solves for the first `size` terms; `hold`: weight of a prior that holds the last of them at nothing. False where they are not determined. */
  solve(size = this.terms, hold = 0): boolean {
    const { terms, matrix, right, solution, lower } = this;
    for (let a = 0; a < size; a++) {
      for (let b = 0; b <= a; b++) {
        let sum = matrix[terms * a + b] + (a === size - 1 && b === a ? hold : 0);
        const whole = sum;
        for (let k = 0; k < b; k++) sum -= lower[terms * a + k] * lower[terms * b + k];
        if (a !== b) lower[terms * a + b] = sum / lower[terms * b + b];
        else if (!(sum > SMALLEST_PIVOT * whole)) return false;
        else lower[terms * a + a] = Math.sqrt(sum);
      }
    }
    for (let a = 0; a < size; a++) {
      let sum = right[a];
      for (let k = 0; k < a; k++) sum -= lower[terms * a + k] * solution[k];
      solution[a] = sum / lower[terms * a + a];
    }
    for (let a = size - 1; a >= 0; a--) {
      let sum = solution[a];
      for (let k = a + 1; k < size; k++) sum -= lower[terms * k + a] * solution[k];
      solution[a] = sum / lower[terms * a + a];
    }
    return true;
  }

  /** By how much the solution of the first `size` terms lowers the sum of squares (without a prior). */
  explained(size = this.terms): number {
    let sum = 0;
    for (let a = 0; a < size; a++) sum += this.solution[a] * this.right[a];
    return sum;
  }

  /** Diagonal entry `term` of the inverse of the matrix last solved: the squared length of L^-1 e. */
  inverseDiagonal(term: number, size = this.terms): number {
    const { terms, lower, column } = this;
    let squares = 0;
    for (let a = term; a < size; a++) {
      let sum = a === term ? 1 : 0;
      for (let k = term; k < a; k++) sum -= lower[terms * a + k] * column[k];
      column[a] = sum / lower[terms * a + a];
      squares += column[a] ** 2;
    }
    return squares;
  }
}
