import { factor } from "../../geometry/normalEquations.ts";
import { dot } from "./profileFit.ts";

/** Light across a feature, at (i - half) * step mm, of odd length, seen everywhere, with the noise (standard deviation) of a sample. */
export interface Profile {
  readonly profile: Float64Array;
  readonly noise: number;
}

/**
 * What lies across a cut, linear in its light: a feature (a slit, an edge) of some height at some place, and what may lie beside it. Column HEIGHT is the feature itself, PLACE its
 * derivative by the place; the others are what else may be seen. Several profiles of one feature, of one length, share the coefficients of all columns but the last ones.
 */
export interface ProfileModel {
  /** Fills `row` with the columns at t mm from the feature's place. */
  columnsAt(t: number, row: Float64Array): void;
  /** By what each column counts in each profile (default 1). */
  readonly factors?: readonly Float64Array[];
  /** Standard deviation of each column's coefficient before the picture is seen; that of PLACE is MOST_SHIFT times a height of one. */
  readonly priors: Float64Array;
  /** The mean of each coefficient before the picture is seen (default 0); that of HEIGHT and PLACE is 0. */
  readonly means?: Float64Array;
  /** A column of the feature's own shape that takes from its height, in each profile by its factor (default: none). */
  readonly takes?: number;
  /** The model about a feature broader by so much, mm, on each side, for the height it was found to have, where column COMMON is its derivative by that (default: none is); itself where its column tells so little as well. */
  broadened?(by: number, height: number): ProfileModel;
  /** So many of the last columns have coefficients of their own in each profile: its ground and slope. */
  readonly own: number;
}
export const HEIGHT = 0;
export const PLACE = 1;
/** Columns that every model has. */
export const COMMON = 2;

/** Where a feature lies under a profile that is the mean of many. */
export interface ProfilePlace {
  /** mm from the profile's middle. */
  readonly shift: number;
  /** Its standard uncertainty, mm: the profile's own noise, and what else may be seen and cannot be told from a displacement. */
  readonly sigma: number;
  /** Sum of squares that the best model leaves over its expectation. */
  readonly excess: number;
  /** What the likeliest model leaves of each profile. */
  rest(): readonly (readonly number[])[];
}

/** The feature lies within this of the profile's middle, mm, and usually this near (standard deviation; common practice, no source). */
export const MOST_SHIFT = 0.4;
const USUAL_SHIFT = 0.15;
/** The place is settled when it moves by less than this, mm; it moves by no more than FARTHEST_STEP at a time. */
const SETTLED = 1e-3;
const FARTHEST_STEP = 0.1;
const MOST_PASSES = 3;

/**
 * The place of a feature by the posterior of Gaussian linear models, summed over the models by their evidence (MacKay 2003, ch. 28). What the picture resolves beside the feature is
 * fitted; what blur hides stays in the uncertainty, as wide as the priors make it. Null where no model shows a feature.
 *
 * @param profiles in units in which the priors are stated, all with the feature at the same place.
 * @param faintest height below which there is none.
 * @param unusual models that are asked only where no usual one fits.
 */
export function placeBy(models: readonly ProfileModel[], profiles: readonly Profile[], step: number, faintest: number, unusual: () => readonly ProfileModel[] = () => []): ProfilePlace | null {
  const usual = settleAll(models, profiles, step, faintest);
  const asked = usual.some((f) => f.excess < ACCEPTABLE) ? models : [...models, ...unusual()];
  const fits = asked === models ? usual : [...usual, ...settleAll(asked.slice(models.length), profiles, step, faintest)];
  // What no model shows (a print's edge beside the cut) is more noise: what the priors say counts for more then.
  const excess = Math.min(...fits.map((f) => f.excess));
  const told = fits.length > 0 && excess > ACCEPTABLE ? settleAll(asked, profiles.map((p) => ({ ...p, noise: p.noise * Math.sqrt(excess) })), step, faintest) : fits;
  if (told.length === 0) return null;
  const best = told.reduce((a, b) => (b.evidence > a.evidence ? b : a));
  const most = best.evidence;
  let weights = 0;
  let mean = 0;
  let square = 0;
  for (const f of told) {
    const w = Math.exp(f.evidence - most);
    weights += w;
    mean += w * f.shift;
    square += w * (f.shift ** 2 + f.sigma ** 2);
  }
  mean /= weights;
  return { shift: mean, sigma: Math.sqrt(Math.max(0, square / weights - mean * mean)), excess, rest: best.rest };
}

/** A sum of squares over its expectation up to which a model fits. */
export const ACCEPTABLE = 1.3;

function settleAll(models: readonly ProfileModel[], profiles: readonly Profile[], step: number, faintest: number): Fit[] {
  return models.map((model) => settle(model, profiles, step, faintest)).filter((fit) => fit !== null);
}

interface Fit extends ProfilePlace {
  /** Logarithm of how likely the profile is under the model, up to a constant common to all. */
  readonly evidence: number;
}

function settle(model: ProfileModel, profiles: readonly Profile[], step: number, faintest: number): Fit | null {
  let centre = 0;
  let about = model;
  let heights: readonly number[] = profiles.map(() => 1);
  for (let pass = 0; ; pass++) {
    const fit = fitAround(about, profiles, step, centre, faintest, heights);
    if (!fit) return null;
    heights = fit.heights;
    const next = about.broadened?.(fit.broader, fit.highest) ?? about;
    centre += Math.max(-FARTHEST_STEP, Math.min(FARTHEST_STEP, fit.shift));
    if (Math.abs(centre) > MOST_SHIFT || (pass === MOST_PASSES && Math.abs(fit.shift) > FARTHEST_STEP)) return null;
    if ((Math.abs(fit.shift) < SETTLED && next === about) || pass === MOST_PASSES) return { ...fit, shift: centre, evidence: fit.evidence - 0.5 * (centre / USUAL_SHIFT) ** 2 };
    about = next;
  }
}

interface FitAround extends Fit {
  /** How high the feature was found, and in each profile as a share of that. */
  readonly highest: number;
  readonly heights: readonly number[];
  /** By how much broader on each side, mm, where column COMMON is of that. */
  readonly broader: number;
}

/** In units of the priors P: A = 1 + P X'WX P; evidence = -(squares - gain)/2 - ln det(A)/2. The profiles differ by the factors of their columns F only, so that X'X of all is F (B'B) F of one basis B. */
function fitAround(model: ProfileModel, profiles: readonly Profile[], step: number, centre: number, faintest: number, heights: readonly number[]): FitAround | null {
  const { priors, means, own } = model;
  const columns = priors.length;
  const shared = columns - own;
  const n = shared + own * profiles.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  const basis = basisOf(model, profiles[0].profile.length, step, centre);
  const products = basis.map((a, i) => basis.slice(0, i + 1).map((b) => dot(a, b)));
  let squares = 0;
  for (const [k, { profile, noise }] of profiles.entries()) {
    const expected = means ? scaled(means, model, k) : [];
    const left = without(profile, basis, expected);
    const unit = scaled(priors, model, k);
    unit[PLACE] *= heights[k];
    const weight = 1 / (noise * noise);
    const moved = own * k;
    for (let a = 0; a < columns; a++) {
      const to = a < shared ? a : a + moved;
      const scale = weight * unit[a];
      right[to] += scale * dot(basis[a], left);
      for (let b = 0; b <= a; b++) matrix[n * to + (b < shared ? b : b + moved)] += scale * unit[b] * products[a][b];
    }
    squares += weight * dot(left, left);
  }
  for (let a = 0; a < n; a++) {
    for (let b = 0; b < a; b++) matrix[n * b + a] = matrix[n * a + b];
    matrix[(n + 1) * a] += 1;
  }
  const solved = factor(matrix, n);
  if ("undetermined" in solved) return null;
  const x = solved.solve(right);
  const found = heightsOf(x, model, profiles);
  const highest = found.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
  if (!(Math.abs(highest) > faintest)) return null;
  const gain = x.reduce((sum, v, a) => sum + v * right[a], 0);
  const unit = new Float64Array(n);
  unit[PLACE] = 1;
  // PLACE counts in each profile by the height that the feature was taken to have there: what of the heights found now is in proportion to those.
  const product = (a: readonly number[], b: readonly number[]): number => profiles.reduce((sum, { noise }, k) => sum + (a[k] * b[k]) / (noise * noise), 0);
  const perHeight = (priors[PLACE] * product(heights, heights)) / product(heights, found);
  const rest = (): number[][] => profiles.map(({ profile }, k) => {
    const coefficients = priors.map((prior, a) => (means?.[a] ?? 0) + prior * x[a < shared ? a : a + own * k]);
    coefficients[PLACE] *= heights[k];
    return without(profile, basis, scaled(coefficients, model, k));
  });
  const samples = profiles.length * profiles[0].profile.length;
  const broader = ((means?.[COMMON] ?? 0) + priors[COMMON] * x[COMMON]) / highest;
  return { highest, heights: found.map((h) => h / highest), broader, rest, shift: x[PLACE] * perHeight, sigma: Math.sqrt(solved.solve(unit)[PLACE]) * Math.abs(perHeight), evidence: -0.5 * (squares - gain) - 0.5 * solved.logDeterminant, excess: (squares - gain) / Math.max(1, samples - own * profiles.length) };
}

/** How high the feature is in each profile: PLACE moves all of it, less what another column takes of it there. */
function heightsOf(x: ArrayLike<number>, { priors, takes, factors }: ProfileModel, profiles: readonly Profile[]): number[] {
  const height = x[HEIGHT] * priors[HEIGHT];
  return profiles.map((_, k) => (takes === undefined ? height : height - x[takes] * priors[takes] * (factors?.[k][takes] ?? 1)));
}

/** The columns of a model at the samples of a profile, for a feature `centre` mm from its middle. */
function basisOf(model: ProfileModel, samples: number, step: number, centre: number): number[][] {
  const basis = Array.from(model.priors, (): number[] => []);
  const row = new Float64Array(model.priors.length);
  for (let i = 0; i < samples; i++) {
    model.columnsAt((i - (samples >> 1)) * step - centre, row);
    for (let a = 0; a < row.length; a++) basis[a].push(row[a]);
  }
  return basis;
}

/** Coefficients of columns as they count in a profile. */
function scaled(coefficients: ArrayLike<number>, { factors }: ProfileModel, profile: number): number[] {
  return Array.from(coefficients, (v, a) => (factors ? v * factors[profile][a] : v));
}

/** What columns with given coefficients leave of a profile. */
function without(profile: Float64Array, basis: readonly (readonly number[])[], coefficients: readonly number[]): number[] {
  const left = Array.from(profile);
  coefficients.forEach((c, a) => {
    if (c === 0) return;
    const column = basis[a];
    for (let i = 0; i < left.length; i++) left[i] -= c * column[i];
  });
  return left;
}
