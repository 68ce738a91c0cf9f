import { factor } from "./normalEquations.ts";
import { NormalEquations } from "./rowSums.ts";
import type { AddRow } from "./rowSums.ts";

export type { AddRow };

export interface MarquardtOptions {
  /** Steps tried at most (default 50). */
  readonly maxIterations?: number;
  /** Converged when the next step would lower the cost by less than this share of it (default 1e-14). */
  readonly tolerance?: number;
  /** First damping, relative to the diagonal of J'WJ (default 1e-6: a good start is expected). */
  readonly damping?: number;
}

export interface MarquardtResult {
  readonly parameters: Float64Array;
  /** Sum of weight * residual^2 at `parameters`. */
  readonly cost: number;
  /** Observations with a weight above zero. */
  readonly rows: number;
  /** (J'WJ)^-1, n x n row-major: times sigma0^2 = cost/(rows - n), or times 1 where weights are 1/variance. Null where not determined. */
  readonly covariance: Float64Array | null;
  readonly iterations: number;
  readonly converged: boolean;
  /** Why there is no covariance or no convergence: a plain sentence. */
  readonly reason?: string;
}

/**
 * Weighted non-linear least squares by Levenberg-Marquardt (Marquardt 1963; damping after Nielsen 1999, IMM-REP-1999-05).
 * The normal equations J'WJ are summed row by row, so the cost per row is n^2/2 and nothing grows with the rows. Damping
 * is on the diagonal scaled to one, so that the units of the parameters do not matter.
 *
 * `evaluate` is called with trial parameters and must call `add` once per observation. A trial with a residual that is
 * not finite counts as one of infinite cost: the step is shortened. Robust weights must stay the same within one call.
 */
export function levenbergMarquardt(
  start: Float64Array, evaluate: (parameters: Float64Array, add: AddRow) => void, options: MarquardtOptions = {},
): MarquardtResult {
  const { maxIterations = 50, tolerance = 1e-14 } = options;
  const n = start.length;
  let parameters = Float64Array.from(start);
  let system = new NormalEquations(n);
  let trial = new NormalEquations(n);
  system.sum((add) => evaluate(parameters, add));
  if (!Number.isFinite(system.cost)) return failure(parameters, system, 0, "the starting values cannot be evaluated");
  if (system.rows < n) return failure(parameters, system, 0, `${system.rows} observations cannot determine ${n} parameters`);

  let damping = options.damping ?? 1e-6;
  let growth = 2;
  let converged = false;
  let iterations = 0;
  while (iterations < maxIterations) {
    iterations++;
    const factored = factor(system.matrix, n, damping);
    if ("undetermined" in factored) {
      if (zeroDiagonal(system.matrix, n) >= 0 || damping > 1) break;
      damping = Math.max(10 * damping, 1e-10);
      continue;
    }
    const step = factored.solve(system.gradient);
    const gain = predictedGain(system, step, n);
    if (gain <= tolerance * system.cost || gain <= 1e-28 * predictionScale(system, parameters, n)) {
      parameters = parameters.map((p, i) => p + step[i]);
      converged = true;
      break;
    }
    const next = parameters.map((p, i) => p + step[i]);
    trial.sum((add) => evaluate(next, add));
    const actual = system.cost - trial.cost;
    if (trial.rows > 0 && actual > 0) {
      const ratio = actual / gain;
      damping = Math.max(damping * Math.max(1 / 10, 1 - (2 * ratio - 1) ** 3), 1e-15);
      growth = 2;
      parameters = next;
      [system, trial] = [trial, system];
    } else {
      // No descent although the step is within rounding of the minimum: this is the minimum.
      if (gain <= 1e-9 * system.cost && Math.abs(actual) <= 1e-9 * system.cost) {
        converged = true;
        break;
      }
      damping = Math.max(damping, 1e-6) * growth;
      growth *= 2;
      if (damping > 1e18) break;
    }
  }
  return result(parameters, system, n, iterations, converged);
}

/** Decrease of the cost that the linear model expects of `step`: 2 g's - s'As. */
function predictedGain(system: NormalEquations, step: Float64Array, n: number): number {
  let gain = 0;
  for (let i = 0; i < n; i++) {
    let as = 0;
    for (let j = 0; j < n; j++) as += system.matrix[i * n + j] * step[j];
    gain += step[i] * (2 * system.gradient[i] - as);
  }
  return gain;
}

/** The size of the predictions that the parameters make up, squared and summed like the cost: what rounding is relative to. */
function predictionScale(system: NormalEquations, parameters: Float64Array, n: number): number {
  let scale = 0;
  for (let i = 0; i < n; i++) scale += system.matrix[i * n + i] * parameters[i] * parameters[i];
  return scale;
}

function zeroDiagonal(matrix: Float64Array, n: number): number {
  for (let i = 0; i < n; i++) if (!(matrix[i * n + i] > 0)) return i;
  return -1;
}

function result(parameters: Float64Array, system: NormalEquations, n: number, iterations: number, converged: boolean): MarquardtResult {
  const factored = factor(system.matrix, n);
  const { cost, rows } = system;
  if ("undetermined" in factored) {
    const reason = `parameter ${factored.undetermined + 1} of ${n} is not determined by the observations`;
    return { parameters, cost, rows, covariance: null, iterations, converged: false, reason };
  }
  const covariance = factored.inverse();
  if (converged) return { parameters, cost, rows, covariance, iterations, converged };
  return { parameters, cost, rows, covariance, iterations, converged, reason: `no convergence in ${iterations} steps` };
}

function failure(parameters: Float64Array, system: NormalEquations, iterations: number, reason: string): MarquardtResult {
  return { parameters, cost: system.cost, rows: system.rows, covariance: null, iterations, converged: false, reason };
}
