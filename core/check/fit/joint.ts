import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import { quadraticForm } from "../../geometry/quadraticForm.ts";
import { alikeBiases, equationsOf, type EdgeBias, type JointData, type JointModel } from "./equations.ts";
import { countOf } from "../view/nuisance.ts";
import { TERM_COUNT } from "../view/viewModel.ts";

export interface JointFit {
  readonly model: JointModel;
  /** All view terms (those not free are 0). */
  readonly view: Float64Array;
  /** Cut terms: x, y, r, s, (e, g), (p, q); d(p) is linear in them. */
  readonly cut: Float64Array;
  /** By how much the edges of each look are found away from their pieces, and slits to the right and upwards the darker their ground is, mm; 0 where that is not fitted. */
  readonly edgeBias: Readonly<Record<EdgeBias, number>>;
  /** Factors of the nuisances, standard deviation 1 before the fit. */
  readonly nuisance: Float64Array;
  /** Covariance of [free view terms, cut terms, edge biases, nuisances], row-major. */
  readonly covariance: Float64Array;
  readonly free: readonly number[];
  readonly size: number;
  /** Weighted sum of squares, priors included. */
  readonly cost: number;
  /** Normalised residuals: one pair per mark, one per chunk. */
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
  /** Degrees of freedom that are left in the marks' residuals: what of them the parameters have not taken up (the sum of one less the leverage). */
  readonly markFreedom: number;
}

/**
 * View, lens and cut-to-print map in one least-squares fit. Marks are points; a cut's chunks are points on a curve that is known
 * only across: the residual is taken along the picture's image of the nominal normal, so sliding along the cut costs
 * nothing, and long straight cuts rule the lens as well as the cut. Null where the data do not determine the model.
 */
export function fitJointly(data: JointData, model: JointModel, start: Float64Array, startCut: Float64Array): JointFit | null {
  const { free, cutCount, biases, size, evaluate, markResiduals, cutResiduals } = equationsOf(data, model);
  const first = new Float64Array(size);
  free.forEach((term, i) => (first[i] = start[term]));
  for (let i = 0; i < cutCount; i++) first[free.length + i] = startCut[i] ?? 0;
  const result = levenbergMarquardt(first, evaluate, { maxIterations: 30, tolerance: 1e-6, damping: 1e-6 });
  const { covariance } = result;
  if (!covariance) return null;
  let markFreedom = 0;
  let observation = 0;
  evaluate(result.parameters, (row) => {
    if (observation++ < markResiduals.length) markFreedom += Math.max(0, 1 - quadraticForm(covariance, size, row));
  });
  const view = new Float64Array(TERM_COUNT);
  free.forEach((term, i) => (view[term] = result.parameters[i]));
  const edgeBias = alikeBiases(0);
  biases.forEach((bias, i) => (edgeBias[bias] = result.parameters[free.length + cutCount + i]));
  return {
    model, view, cut: result.parameters.slice(free.length, free.length + cutCount), edgeBias, nuisance: result.parameters.slice(size - countOf(data.nuisances ?? [])), covariance, free, size, cost: result.cost,
    markResiduals: markResiduals.slice(), cutResiduals: cutResiduals.slice(), markFreedom,
  };
}

/** A fit's parameters in the order of its equations, whose `biases` are given; `cut`: other cut terms than its own. */
export function parametersOf({ view, free, edgeBias, nuisance, ...fit }: JointFit, biases: readonly EdgeBias[], cut: Float64Array = fit.cut): Float64Array {
  return Float64Array.from([...free.map((term) => view[term]), ...cut, ...biases.map((bias) => edgeBias[bias]), ...nuisance]);
}
