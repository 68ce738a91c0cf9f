import { factor } from "../geometry/normalEquations.ts";
import { density, integral } from "../image/normal.ts";

/** Where a slit lies under a profile that is the mean of many, as a share of the ground's light. */
export interface SlitPlace {
  /** Place of the slit's middle, mm from the profile's middle. */
  readonly shift: number;
  /** Its standard uncertainty, mm: the profile's own noise, and what lips and shades that blur hides may still do. */
  readonly sigma: number;
}

/** Widths of a slit that are tried, mm. */
const WIDTHS = [0.08, 0.14, 0.22, 0.32, 0.42];
/**
 * Bands beside the slit, mm from its edge, in which a lip may catch light, and how much of the ground's (standard deviation; common practice, no source). In dark print a lip
 * shows bare board, many times as bright as its ground: there half of the brightest that is seen.
 */
const LIPS = [[0, 0.08], [0.08, 0.2]] as const;
const LIP_LIGHT = 0.08;
/** Reaches (sigma, mm) of a shade that falls from the slit's edge outwards, and how much of the board's light it takes (as before). */
const SHADES = [0.15, 0.35];
const SHADE = 0.07;
/** Ground, its slope per mm and the darkness of a slit as shares of the ground's light: anything. */
const ANYTHING = 1;
/** Slits fainter than this share of the ground's light are not placed. */
const FAINTEST = 0.02;
/** The slit lies within this of the profile's middle, mm. */
const MOST_SHIFT = 0.4;
/** Columns: ground, slope, slit, the slit's displacement times its darkness, then lips and shades of both sides. */
const FIRST = 4;
const COLUMNS = FIRST + 2 * LIPS.length + 2 * SHADES.length;

/**
 * Places a slit in a profile. Beside it, on either side, lie a lip that may be brighter than the board and a shade; blur melts them with the slit
 * into one asymmetric line. All are linear in their light, with priors of what occurs, so their posterior (Gaussian linear model, summed over the slit's widths by
 * their evidence; MacKay 2003, ch. 28) tells the slit's place, and how much of its asymmetry cannot be told from a displacement: little where
 * the picture resolves the shade, much where it does not.
 *
 * @param profile light over the ground's light at (i - half) * step mm; of odd length.
 * @param noise standard deviation of a sample.
 * @param blur sigma of the picture's blur across, mm.
 */
export function placeSlit(profile: Float64Array, step: number, noise: number, blur: number): SlitPlace | null {
  let weights = 0;
  let mean = 0;
  let square = 0;
  let most = -Infinity;
  const ground = 0.5 * (profile[0] + profile[profile.length - 1]);
  const priors = priorsWith(Math.max(LIP_LIGHT, 0.5 * (profile.reduce((a, b) => Math.max(a, b)) - ground)));
  const fits = WIDTHS.map((width) => fitWidth(profile, step, noise, blur, width, priors)).filter((f) => f !== null);
  for (const f of fits) most = Math.max(most, f.evidence);
  for (const f of fits) {
    const w = Math.exp(f.evidence - most);
    weights += w;
    mean += w * f.shift;
    square += w * (f.shift ** 2 + f.sigma ** 2);
  }
  if (weights === 0) return null;
  mean /= weights;
  return { shift: mean, sigma: Math.sqrt(Math.max(0, square / weights - mean * mean)) };
}

/** Noise of a profile is taken to be no less than this share of the ground's light: texture along the slit is not averaged out like noise. */
export const LEAST_NOISE = 0.003;

/** The standard uncertainty, mm, that lips and shades leave to a plain slit of a given width, mm, and darkness, share of the board's light, seen with a given blur, mm, in a profile of the given noise. */
export function slitDoubt(width: number, darkness: number, blur: number, noise = LEAST_NOISE): number {
  const step = Math.max(0.05, blur / 2);
  const half = profileHalf(blur, step);
  const profile = Float64Array.from({ length: 2 * half + 1 }, (_, i) => 1 - darkness * band((i - half) * step, -width / 2, width / 2, blur));
  return placeSlit(profile, step, Math.max(LEAST_NOISE, noise), blur)?.sigma ?? 0;
}

/** Reach of a profile, mm beyond 1.5 blurs: past the slit's lips and shades. */
const REACH = 0.9;

/** Samples to either side of the middle of a profile that shows all of a slit. */
export function profileHalf(blur: number, step: number): number {
  return Math.floor((REACH + 1.5 * blur) / step);
}

interface WidthFit extends SlitPlace {
  readonly evidence: number;
}

function fitWidth(profile: Float64Array, step: number, noise: number, blur: number, width: number, priors: Float64Array): WidthFit | null {
  let centre = 0;
  for (let pass = 0; pass < 4; pass++) {
    const fit = fitAround(profile, step, noise, blur, width, centre, priors);
    if (!fit) return null;
    centre += Math.max(-0.1, Math.min(0.1, fit.shift));
    if (Math.abs(centre) > MOST_SHIFT) return null;
    if (Math.abs(fit.shift) < 1e-3 || pass === 3) return { ...fit, shift: centre };
  }
  return null;
}
function columnsAt(t: number, width: number, blur: number, row: Float64Array): void {
  const half = width / 2;
  row[0] = 1;
  row[1] = t;
  row[2] = -band(t, -half, half, blur);
  row[3] = -(density((t - half) / blur) - density((t + half) / blur)) / blur;
  let k = FIRST;
  for (const [from, to] of LIPS) {
    row[k++] = band(t, half + from, half + to, blur);
    row[k++] = band(t, -half - to, -half - from, blur);
  }
  for (const spread of SHADES) {
    row[k++] = -fading(t - half, spread, blur);
    row[k++] = -fading(-t - half, spread, blur);
  }
}

/** One between from and to, blurred. */
function band(t: number, from: number, to: number, blur: number): number {
  return integral((t - from) / blur) - integral((t - to) / blur);
}

/** exp(-t^2 / 2 s^2) for t > 0, nothing before, blurred. */
function fading(t: number, spread: number, blur: number): number {
  const v = spread * spread + blur * blur;
  return (spread / Math.sqrt(v)) * Math.exp((-0.5 * t * t) / v) * integral((t * spread) / (blur * Math.sqrt(v)));
}

/** Standard deviation of each column's coefficient before the picture is seen. */
function priorsWith(lip: number): Float64Array {
  const priors = new Float64Array(COLUMNS).fill(SHADE);
  priors.set([ANYTHING, ANYTHING, ANYTHING, MOST_SHIFT]);
  return priors.fill(lip, FIRST, FIRST + 2 * LIPS.length);
}

function fitAround(profile: Float64Array, step: number, noise: number, blur: number, width: number, centre: number, priors: Float64Array): WidthFit | null {
  const n = COLUMNS;
  const half = profile.length >> 1;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  const row = new Float64Array(n);
  const weight = 1 / (noise * noise);
  let squares = 0;
  for (let i = 0; i < profile.length; i++) {
    const v = profile[i];
    if (Number.isNaN(v)) continue;
    columnsAt((i - half) * step - centre, width, blur, row);
    for (let a = 0; a < n; a++) {
      right[a] += weight * row[a] * v;
      for (let b = 0; b < n; b++) matrix[n * a + b] += weight * row[a] * row[b];
    }
    squares += weight * v * v;
  }
  // In units of the priors: A = 1 + P X'WX P; evidence = -(squares - gain)/2 - ln det(A)/2.
  for (let a = 0; a < n; a++) {
    right[a] *= priors[a];
    for (let b = 0; b < n; b++) matrix[n * a + b] = matrix[n * a + b] * priors[a] * priors[b] + (a === b ? 1 : 0);
  }
  const solved = factor(matrix, n);
  if ("undetermined" in solved) return null;
  const x = solved.solve(right);
  const inverse = solved.inverse();
  const darkness = x[2] * ANYTHING;
  if (!(Math.abs(darkness) > FAINTEST)) return null;
  const gain = x.reduce((s, v, a) => s + v * right[a], 0);
  return { shift: (x[3] * MOST_SHIFT) / darkness, sigma: (Math.sqrt(inverse[3 * n + 3]) * MOST_SHIFT) / Math.abs(darkness), evidence: -0.5 * (squares - gain) - 0.5 * logDet(matrix, n) };
}

function logDet(a: Float64Array, n: number): number {
  const l = new Float64Array(n * n);
  let sum = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let v = a[i * n + j];
      for (let k = 0; k < j; k++) v -= l[i * n + k] * l[j * n + k];
      if (i === j) {
        l[i * n + i] = Math.sqrt(v);
        sum += Math.log(v);
      } else l[i * n + j] = v / l[j * n + j];
    }
  }
  return sum;
}
