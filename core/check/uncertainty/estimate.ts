import type { Covariance2 } from "../../geometry/frames.ts";
import type { CutError } from "../../judge/correction.ts";
import { CUT_TERMS } from "../fit/cutMap.ts";
import { varianceOf } from "./leftOut.ts";
import type { Solution } from "../fit/solution.ts";

/** The parameters of the cut-to-print map about the datum (contract section 1), with standard uncertainties. */
export interface MapEstimate extends CutError {
  readonly offsetCovariance: Covariance2<"print">;
  readonly u: { readonly rotation: number; readonly skew: number; readonly scaleX: number; readonly scaleY: number };
}

/** Linear terms of the cut-to-print map. */
const LINEAR = CUT_TERMS.affine;

/**
 * Reads offset, rotation, skew and scale off the solution; uncertainties by its covariance, through numeric derivatives (JCGM 100:2008, 5.2). Terms that the cuts cannot support, and that
 * were left out for it, are not known to be nothing: they count with their prior, and with what they would do to the others (see leftOut.ts).
 */
export function estimateOf(solution: Solution): MapEstimate {
  const { half } = solution.data.frame.print;
  const cut = new Float64Array(Math.max(LINEAR, solution.cut.length));
  cut.set(solution.cut);
  const values = parametersOf(cut, half);
  const gradient = (pick: (p: CutError) => number): Float64Array => {
    const out = new Float64Array(cut.length);
    for (let i = 0; i < cut.length; i++) {
      const h = 1e-4;
      const plus = cut.slice();
      const minus = cut.slice();
      plus[i] += h;
      minus[i] -= h;
      out[i] = (pick(parametersOf(plus, half)) - pick(parametersOf(minus, half))) / (2 * h);
    }
    return out;
  };
  const variance = (slope: Float64Array): number => varianceOf(solution, slope);
  const u = (pick: (p: CutError) => number): number => Math.sqrt(variance(gradient(pick)));
  const [xx, yy, both] = [[1, 0], [0, 1], [1, 1]].map(([x, y]) => variance(cut.map((_, k) => (k === 0 ? x : k === 1 ? y : 0))));
  return {
    ...values,
    offsetCovariance: { xx, yy, xy: (both - xx - yy) / 2 },
    u: { rotation: u((p) => p.rotation), skew: u((p) => p.skew), scaleX: u((p) => p.scaleX), scaleY: u((p) => p.scaleY) },
  };
}

/** Contract section 1: M = [[a, b], [c, d]] the derivative of T at the datum. */
function parametersOf(cut: Float64Array, half: number): CutError {
  const [x, y, r, s, e, g] = cut;
  const a = 1 + (s + e) / half;
  const b = (g - r) / half;
  const c = (r + g) / half;
  const d = 1 + (s - e) / half;
  return {
    x, y,
    rotation: 1000 * Math.atan2(c, a),
    scaleX: 1000 * (Math.hypot(a, c) - 1),
    scaleY: 1000 * (Math.hypot(b, d) - 1),
    skew: 1000 * (Math.atan2(c, a) + Math.PI / 2 - Math.atan2(d, b)),
  };
}
