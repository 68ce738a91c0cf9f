import { quadraticForm } from "../../geometry/quadraticForm.ts";
import type { PrintPoint } from "../../geometry/frames.ts";
import { CUT_TERMS, cutPrior, cutRowAt } from "../fit/cutMap.ts";
import { equationsOf } from "../fit/equations.ts";
import { parametersOf } from "../fit/joint.ts";
import type { Solution } from "../fit/solution.ts";

/**
 * What a linear term of the cut that was left out would do to those that were fitted, were it not nothing: an ellipse alone does not tell how it leans, and a lean passes for a turn, which moves the datum
 * where that lies beside it. A least-squares fit is linear in its sightings: a term of one (mm at one half span) that is in them moves the fitted ones by -C J'W j, j its own column (JCGM 100:2008, 5.2).
 *
 * @returns for each term left out, from the first on, by how much each fitted one moves.
 */
function leftOutTerms(solution: Solution): number[][] {
  const { data, model, covariance, size, free, cut } = solution;
  const left = CUT_TERMS.affine - cut.length;
  if (left <= 0 || data.cuts.length === 0) return [];
  const { biases, evaluate } = equationsOf(data, { ...model, cut: "affine" });
  const first = free.length + cut.length;
  const pulls = Array.from({ length: left }, () => new Float64Array(size));
  evaluate(parametersOf(solution, biases, Float64Array.of(...cut, ...new Float64Array(left))), (row, _residual, weight) => {
    for (let j = 0; j < left; j++) {
      const own = weight * row[first + j];
      if (own === 0) continue;
      for (let i = 0; i < size; i++) pulls[j][i] += own * row[i < first ? i : i + left];
    }
  });
  return pulls.map((pull) => Array.from(cut, (_, i) => -pull.reduce((sum, v, k) => sum + covariance[(free.length + i) * size + k] * v, 0)));
}

/** Asked for every stretch of a check. */
const known = new WeakMap<Solution, number[][]>();

/** g' C g for a gradient by the fitted cut terms. */
export function quadratic({ covariance, size, free }: Solution, gradient: ArrayLike<number>): number {
  return quadraticForm(covariance, size, gradient, free.length);
}

/** The same for a gradient by all linear terms at least: one left out counts with its prior, by what it does itself and by what it moves of the fitted ones. */
export function varianceOf(solution: Solution, gradient: Float64Array): number {
  const fitted = solution.cut.length;
  const leftOut = known.get(solution) ?? leftOutTerms(solution);
  known.set(solution, leftOut);
  const { half } = solution.data.frame.print;
  const own = Array.from(gradient.subarray(fitted), (slope, j) => slope + (leftOut[j] ?? []).reduce((sum, moved, i) => sum + moved * gradient[i], 0));
  return Math.max(0, quadratic(solution, gradient.subarray(0, fitted))) + own.reduce((sum, v, j) => sum + (v * cutPrior(fitted + j, half)) ** 2, 0);
}

/** How well a fit tells where the cut is at a place, mm (standard uncertainty, the larger of x and y), terms left out included. */
export function doubtAt(solution: Solution, { x, y }: PrintPoint): number {
  const { datum, frame: { print: { half } } } = solution.data;
  return Math.max(...([[1, 0], [0, 1]] as const).map(([nx, ny]) => {
    const row = new Float64Array(Math.max(solution.cut.length, CUT_TERMS.affine));
    return Math.sqrt(varianceOf(solution, cutRowAt({ x, y, nx, ny }, datum, half, row)));
  }));
}
