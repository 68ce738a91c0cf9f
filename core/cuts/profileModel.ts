import { factor } from "../geometry/normalEquations.ts";

/**
 * What lies across a cut, linear in its light: a feature (a slit, an edge) of some height at some place, and what may lie beside it. Columns 0 and 1 are the ground and its slope,
 * HEIGHT the feature itself, PLACE its derivative by the place; the others are what else may be seen.
 */
export interface ProfileModel {
  /** Fills `row` with the columns at t mm from the feature's place. */
  columnsAt(t: number, row: Float64Array): void;
  /** Standard deviation of each column's coefficient before the picture is seen; that of PLACE is MOST_SHIFT times a height of one. */
  readonly priors: Float64Array;
}
export const HEIGHT = 2;
export const PLACE = 3;
/** Columns that every model has. */
export const COMMON = 4;

/** Where a feature lies under a profile that is the mean of many. */
export interface ProfilePlace {
  /** mm from the profile's middle. */
  readonly shift: number;
  /** Its standard uncertainty, mm: the profile's own noise, and what else may be seen and cannot be told from a displacement. */
  readonly sigma: number;
}

/** The feature lies within this of the profile's middle, mm. */
export const MOST_SHIFT = 0.4;
/** The place is settled when it moves by less than this, mm; it moves by no more than FARTHEST_STEP at a time. */
const SETTLED = 1e-3;
const FARTHEST_STEP = 0.1;
const MOST_PASSES = 3;

/**
 * The place of a feature by the posterior of Gaussian linear models, summed over the models by their evidence (MacKay 2003, ch. 28). What the picture resolves beside the feature is
 * fitted; what blur hides stays in the uncertainty, as wide as the priors make it. Null where no model shows a feature.
 *
 * @param profile at (i - half) * step mm, of odd length, in units in which the priors are stated.
 * @param noise standard deviation of a sample.
 * @param faintest height below which there is none.
 */
export function placeBy(models: readonly ProfileModel[], profile: Float64Array, step: number, noise: number, faintest: number): ProfilePlace | null {
  const fits = models.map((model) => settle(model, profile, step, noise, faintest)).filter((fit) => fit !== null);
  if (fits.length === 0) return null;
  const most = Math.max(...fits.map((f) => f.evidence));
  let weights = 0;
  let mean = 0;
  let square = 0;
  for (const f of fits) {
    const w = Math.exp(f.evidence - most);
    weights += w;
    mean += w * f.shift;
    square += w * (f.shift ** 2 + f.sigma ** 2);
  }
  mean /= weights;
  return { shift: mean, sigma: Math.sqrt(Math.max(0, square / weights - mean * mean)) };
}

interface Fit extends ProfilePlace {
  /** Logarithm of how likely the profile is under the model, up to a constant common to all. */
  readonly evidence: number;
}

function settle(model: ProfileModel, profile: Float64Array, step: number, noise: number, faintest: number): Fit | null {
  let centre = 0;
  for (let pass = 0; ; pass++) {
    const fit = fitAround(model, profile, step, noise, centre, faintest);
    if (!fit) return null;
    centre += Math.max(-FARTHEST_STEP, Math.min(FARTHEST_STEP, fit.shift));
    if (Math.abs(centre) > MOST_SHIFT) return null;
    if (Math.abs(fit.shift) < SETTLED || pass === MOST_PASSES) return { ...fit, shift: centre };
  }
}

/** In units of the priors P: A = 1 + P X'WX P; evidence = -(squares - gain)/2 - ln det(A)/2. */
function fitAround({ columnsAt, priors }: ProfileModel, profile: Float64Array, step: number, noise: number, centre: number, faintest: number): Fit | null {
  const n = priors.length;
  const half = profile.length >> 1;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  const row = new Float64Array(n);
  const weight = 1 / (noise * noise);
  let squares = 0;
  for (let i = 0; i < profile.length; i++) {
    const v = profile[i];
    if (Number.isNaN(v)) continue;
    columnsAt((i - half) * step - centre, row);
    for (let a = 0; a < n; a++) {
      row[a] *= priors[a];
      right[a] += weight * row[a] * v;
      for (let b = 0; b <= a; b++) matrix[n * a + b] += weight * row[a] * row[b];
    }
    squares += weight * v * v;
  }
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < a; b++) matrix[n * b + a] = matrix[n * a + b];
    matrix[(n + 1) * a] += 1;
  }
  const solved = factor(matrix, n);
  if ("undetermined" in solved) return null;
  const x = solved.solve(right);
  const height = x[HEIGHT] * priors[HEIGHT];
  if (!(Math.abs(height) > faintest)) return null;
  const gain = x.reduce((sum, v, a) => sum + v * right[a], 0);
  const unit = new Float64Array(n);
  unit[PLACE] = 1;
  const perHeight = priors[PLACE] / height;
  return { shift: x[PLACE] * perHeight, sigma: Math.sqrt(solved.solve(unit)[PLACE]) * Math.abs(perHeight), evidence: -0.5 * (squares - gain) - 0.5 * solved.logDeterminant };
}
