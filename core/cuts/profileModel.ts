import { factor } from "../geometry/normalEquations.ts";

/** Light across a feature, at (i - half) * step mm, of odd length, with the noise (standard deviation) of a sample. */
export interface Profile {
  readonly profile: Float64Array;
  readonly noise: number;
}

/**
 * What lies across a cut, linear in its light: a feature (a slit, an edge) of some height at some place, and what may lie beside it. Column HEIGHT is the feature itself, PLACE its
 * derivative by the place; the others are what else may be seen. Several profiles of one feature share the columns but for the last ones.
 */
export interface ProfileModel {
  /** Fills `row` with the columns at t mm from the feature's place in the profile of the given index. */
  columnsAt(t: number, row: Float64Array, profile: number): void;
  /** Standard deviation of each column's coefficient before the picture is seen; that of PLACE is MOST_SHIFT times a height of one. */
  readonly priors: Float64Array;
  /** The mean of each coefficient before the picture is seen (default 0); that of HEIGHT and PLACE is 0. */
  readonly means?: Float64Array;
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
  rest(): readonly Float64Array[];
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
  for (let pass = 0; ; pass++) {
    const fit = fitAround(model, profiles, step, centre, faintest);
    if (!fit) return null;
    centre += Math.max(-FARTHEST_STEP, Math.min(FARTHEST_STEP, fit.shift));
    if (Math.abs(centre) > MOST_SHIFT || (pass === MOST_PASSES && Math.abs(fit.shift) > FARTHEST_STEP)) return null;
    if (Math.abs(fit.shift) < SETTLED || pass === MOST_PASSES) return { ...fit, shift: centre, evidence: fit.evidence - 0.5 * (centre / USUAL_SHIFT) ** 2 };
  }
}

/** In units of the priors P: A = 1 + P X'WX P; evidence = -(squares - gain)/2 - ln det(A)/2. */
function fitAround({ columnsAt, priors, means, own }: ProfileModel, profiles: readonly Profile[], step: number, centre: number, faintest: number): Fit | null {
  const columns = priors.length;
  const shared = columns - own;
  const n = shared + own * profiles.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  const row = new Float64Array(columns);
  let squares = 0;
  let samples = 0;
  profiles.forEach(({ profile, noise }, k) => {
    const half = profile.length >> 1;
    const weight = 1 / (noise * noise);
    const at = (a: number): number => (a < shared ? a : a + own * k);
    for (let i = 0; i < profile.length; i++) {
      let v = profile[i];
      if (Number.isNaN(v)) continue;
      columnsAt((i - half) * step - centre, row, k);
      if (means) for (let a = 0; a < columns; a++) v -= means[a] * row[a];
      for (let a = 0; a < columns; a++) {
        row[a] *= priors[a];
        const from = n * at(a);
        right[at(a)] += weight * row[a] * v;
        for (let b = 0; b <= a; b++) matrix[from + at(b)] += weight * row[a] * row[b];
      }
      squares += weight * v * v;
      samples++;
    }
  });
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
  const rest = (): Float64Array[] => profiles.map(({ profile }, k) => {
    const half = profile.length >> 1;
    return profile.map((v, i) => {
      columnsAt((i - half) * step - centre, row, k);
      return row.reduce((left, column, a) => left - column * ((means?.[a] ?? 0) + priors[a] * x[a < shared ? a : a + own * k]), v);
    });
  });
  return { rest, shift: x[PLACE] * perHeight, sigma: Math.sqrt(solved.solve(unit)[PLACE]) * Math.abs(perHeight), evidence: -0.5 * (squares - gain) - 0.5 * solved.logDeterminant, excess: (squares - gain) / Math.max(1, samples - own * profiles.length) };
}
