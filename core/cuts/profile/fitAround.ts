import { factor } from "../../geometry/normalEquations.ts";
import { PartedSystem } from "../../geometry/partedSystem.ts";
import { dot } from "./profileFit.ts";
import { COMMON, HEIGHT, PLACE, type Profile, type ProfileModel, type ProfilePlace } from "./profileModel.ts";

/** A model fitted to profiles about one place: `shift` is by how much that would move. */
export interface FitAround extends ProfilePlace {
  /** Logarithm of how likely the profiles are under the model, up to a constant common to all. */
  readonly evidence: number;
  /** How high the feature was found, and in each profile as a share of that. */
  readonly highest: number;
  readonly heights: readonly number[];
  /** By how much broader on each side, mm, where column COMMON is of that. */
  readonly broader: number;
}

/**
 * The linear fit of a model's columns about a place, `centre` mm from the profiles' middle; null where they show no feature higher than `faintest`. In units of the priors P: A = 1 + P X'WX P;
 * evidence = -(squares - gain)/2 - ln det(A)/2.
 *
 * @param heights of the feature in the profiles, as shares of the highest: by that its place counts in each.
 */
export function fitAround(model: ProfileModel, profiles: readonly Profile[], step: number, centre: number, faintest: number, heights: readonly number[]): FitAround | null {
  const { priors, means, own } = model;
  const equations = new ProfileEquations(model, profiles, step, centre, heights);
  const { n, matrix, right, left, logDeterminant } = equations.summed();
  const solved = factor(matrix, n);
  if ("undetermined" in solved) return null;
  const x = solved.solve(right);
  const found = heightsOf(x, model, profiles);
  const highest = found.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a));
  if (!(Math.abs(highest) > faintest)) return null;
  const unit = new Float64Array(n);
  unit[PLACE] = 1;
  // PLACE counts in each profile by the height that the feature was taken to have there: what of the heights found now is in proportion to those.
  const product = (a: readonly number[], b: readonly number[]): number => profiles.reduce((sum, { noise }, k) => sum + (a[k] * b[k]) / (noise * noise), 0);
  const perHeight = (priors[PLACE] * product(heights, heights)) / product(heights, found);
  const unexplained = left - x.reduce((sum, v, a) => sum + v * right[a], 0);
  const samples = profiles.length * profiles[0].profile.length;
  return {
    highest, heights: found.map((h) => h / highest), shift: x[PLACE] * perHeight, sigma: Math.sqrt(solved.solve(unit)[PLACE]) * Math.abs(perHeight),
    broader: ((means?.[COMMON] ?? 0) + priors[COMMON] * x[COMMON]) / highest, evidence: -0.5 * (unexplained + logDeterminant + solved.logDeterminant),
    excess: unexplained / Math.max(1, samples - own * profiles.length), rest: () => profiles.map((_, k) => equations.restOf(k, x)),
  };
}

/** How high the feature is in each profile: PLACE moves all of it, less what another column takes of it there. */
function heightsOf(x: ArrayLike<number>, model: ProfileModel, profiles: readonly Profile[]): number[] {
  const { priors, takes } = model;
  const height = x[HEIGHT] * priors[HEIGHT];
  return profiles.map((_, k) => (takes === undefined ? height : height - x[takes] * priors[takes] * factorOf(model, k, takes)));
}

/** By what a column counts in a profile. */
function factorOf({ factors }: ProfileModel, profile: number, column: number): number {
  return factors ? factors[profile][column] : 1;
}

/** The equations of all profiles. They differ by the factors of their columns F only, so that X'X of each is F (B'B) F of one basis B; what is its own is taken out before they are summed. */
class ProfileEquations {
  private readonly model: ProfileModel;
  private readonly profiles: readonly Profile[];
  private readonly heights: readonly number[];
  private readonly basis: readonly (readonly number[])[];
  private readonly products: readonly (readonly number[])[];
  private readonly system: PartedSystem;
  /** Standard deviation of each column's coefficient in the profile that the system is of. */
  private readonly unit: Float64Array;

  constructor(model: ProfileModel, profiles: readonly Profile[], step: number, centre: number, heights: readonly number[]) {
    this.model = model;
    this.profiles = profiles;
    this.heights = heights;
    this.basis = basisOf(model, profiles[0].profile.length, step, centre);
    this.products = this.basis.map((a, i) => this.basis.slice(0, i + 1).map((b) => dot(a, b)));
    this.system = new PartedSystem(model.priors.length, model.own);
    this.unit = new Float64Array(model.priors.length);
  }

  /** Those of the n columns that all profiles share; `left`: squares that the others leave. */
  summed(): { n: number; matrix: Float64Array; right: Float64Array; left: number; logDeterminant: number } {
    const { model: { priors, own }, profiles, system } = this;
    const columns = priors.length;
    const n = columns - own;
    const matrix = new Float64Array(n * n);
    const right = new Float64Array(n);
    let left = 0;
    let logDeterminant = 0;
    for (let k = 0; k < profiles.length; k++) {
      left += this.fill(k);
      const taken = system.takeOut();
      left -= taken.explained;
      logDeterminant += taken.logDeterminant;
      for (let a = 0; a < n; a++) {
        right[a] += system.right[a];
        for (let b = 0; b <= a; b++) matrix[n * a + b] += system.matrix[columns * a + b];
      }
    }
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < a; b++) matrix[n * b + a] = matrix[n * a + b];
      matrix[(n + 1) * a] += 1;
    }
    return { n, matrix, right, left, logDeterminant };
  }

  /** What the common columns' solution leaves of a profile. */
  restOf(k: number, common: Float64Array): number[] {
    this.fill(k);
    this.system.takeOut();
    const x = this.system.putBack(common);
    const left = this.withoutMeans(k);
    x.forEach((v, a) => takeOff(left, this.basis[a], v * this.unit[a]));
    return left;
  }

  /** Fills the system with the equations of a profile. Returns the squares of what the means leave of it. */
  private fill(k: number): number {
    const { model, profiles, heights, basis, products, system, unit } = this;
    const columns = unit.length;
    const shared = columns - model.own;
    const weight = 1 / (profiles[k].noise * profiles[k].noise);
    const left = this.withoutMeans(k);
    for (let a = 0; a < columns; a++) {
      unit[a] = model.priors[a] * factorOf(model, k, a) * (a === PLACE ? heights[k] : 1);
      const scale = weight * unit[a];
      system.right[a] = scale * dot(basis[a], left);
      for (let b = 0; b <= a; b++) system.matrix[columns * a + b] = scale * unit[b] * products[a][b];
      if (a >= shared) system.matrix[(columns + 1) * a] += 1;
    }
    return weight * dot(left, left);
  }

  /** A profile without what its columns' means are of it. */
  private withoutMeans(k: number): number[] {
    const { model, profiles, basis } = this;
    const left = Array.from(profiles[k].profile);
    model.means?.forEach((mean, a) => takeOff(left, basis[a], mean * factorOf(model, k, a)));
    return left;
  }
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

/** Takes so many times a column off a profile. */
function takeOff(profile: number[], column: readonly number[], times: number): void {
  if (times === 0) return;
  for (let i = 0; i < profile.length; i++) profile[i] -= times * column[i];
}
