import { SmallSystem } from "../geometry/smallSystem.ts";
import { density, integral } from "../image/normal.ts";
import type { CutLook } from "./evidence/evidence.ts";
import { reachOf } from "./profile/profileFit.ts";
import type { Chunk, StripGrid } from "./strips/strip.ts";
import { isMelted, locateWalled } from "./walls/walled.ts";

/** Where the cut lies across a chunk. */
export interface Located {
  /** Distance from the nominal path along its normal, mm. */
  readonly t: number;
  /** Standard uncertainty of t from the scatter about the fitted profile, mm. */
  readonly sigma: number;
  /** Depth of the line or height of the step, linear light, with its sign. */
  readonly amplitude: number;
  /** Amplitude over its own standard uncertainty. */
  readonly significance: number;
  /** Sum of squared residuals per sample. */
  readonly scatter: number;
  /** Light of the ground in the same place, less the slit's own: what a slit that took all of it would be deep. */
  readonly ground: number;
}

/** The light on which shares are taken is no less than this, linear light: of black, anything is a large share. */
export const LEAST_GROUND = 0.01;

/** The light that shares are taken of, with its sign. */
export function lightShared(ground: number): number {
  return ground < 0 ? Math.min(ground, -LEAST_GROUND) : Math.max(ground, LEAST_GROUND);
}

/** Amplitude over the ground's light. */
export function shareOf({ amplitude, ground }: Pick<Located, "amplitude" | "ground">): number {
  return amplitude / lightShared(ground);
}

/** Amplitude over its uncertainty from which a chunk finds its own place; fainter ones are asked only how far they lie from where they are expected. */
export const CLEAR = 8;

/** What is as dark as its path is elsewhere has the path's usual share to within this factor. */
const ALIKE = 1.8;

/** Whether a share of the ground's light is the usual one of its path. */
export function isUsual(share: number, usual: number): boolean {
  return share / usual > 1 / ALIKE && share / usual < ALIKE;
}

/**
 * Fits a line's (Gaussian) or a step's (normal integral) profile on a sloping ground near `start`, by least squares linearised in
 * the place and repeated. Null where the fit runs away or nothing is there.
 *
 * @param width sigma of the profile, mm: blur and half the slit's width together.
 */
export function locate(chunk: Chunk, grid: StripGrid, look: CutLook, start: number, width: number): Located | null {
  if (look === "step" && chunk.wall && !isMelted(chunk.wall, width)) return locateWalled(chunk, grid, chunk.wall, start, width);
  let centre = start;
  for (let pass = 0; pass < PASSES; pass++) {
    const fit = linearFit(chunk, grid, look, centre, width);
    if (!fit) return null;
    const move = Math.max(-width, Math.min(width, fit.move));
    centre += move;
    if (Math.abs(centre - start) > Math.max(0.5, 2 * width)) return null;
    if (Math.abs(move) < SETTLED || pass === PASSES - 1) {
      const { sigma, amplitude, significance, scatter, ground } = fit;
      return { t: centre, sigma, amplitude, significance, scatter, ground };
    }
  }
  return null;
}

/** A move of less than this ends the search, mm, and so many passes do. */
const SETTLED = 2e-3;
const PASSES = 6;

interface LinearFit extends Omit<Located, "t"> {
  /** By how much the place would move, mm. */
  readonly move: number;
}

/** The fit at one given place, not repeated: what it says of the amplitude there, and how far and how surely the place would move. Null where too little is seen. */
export function fitAt(chunk: Pick<Chunk, "profile" | "own">, grid: StripGrid, look: CutLook, centre: number, width: number): LinearFit | null {
  return linearFit(chunk, grid, look, centre, width);
}

/** A normal density of this height is one in its middle. */
const HEIGHT = Math.sqrt(2 * Math.PI);
const TERMS = 5;
const SHAPE = 2;
const SLOPE = 3;
/** Room for the normal equations: one fit at a time. */
const system = new SmallSystem(TERMS);
const { matrix, right, solution } = system;
/** The terms at each sample, and its light. */
const columns = Array.from({ length: TERMS + 1 }, () => new Float64Array(0));

/**
 * Terms: ground, its slope, the shape, the shape's slope (whose ratio to the shape's coefficient is minus the move), and for a line a step of the ground under it,
 * held near nothing by its prior: a shade on one side would else draw the line to it. A fit without the step tells depth and scatter, which weigh the prior.
 */
function linearFit(chunk: Pick<Chunk, "profile" | "own">, grid: StripGrid, look: CutLook, centre: number, width: number): LinearFit | null {
  const line = look !== "step";
  const shaded = line && grid.uneven > 0;
  const size = shaded ? TERMS : TERMS - 1;
  const { n, squares } = sumUp(chunk, grid, line, centre, width, reachOf(look, width), size);
  if (n < 7) return null;
  let hold = 0;
  if (shaded) {
    const even = evenFit(squares, n);
    if (!even || !(Math.abs(even.amplitude) > 1e-6)) return null;
    hold = even.scatter / (grid.uneven * even.amplitude) ** 2;
  }
  if (!system.solve(size, hold)) return null;
  const amplitude = solution[SHAPE];
  if (!(Math.abs(amplitude) > 1e-6)) return null;
  const scatter = scatterOf(squares, n, size);
  return {
    move: (solution[SLOPE] / amplitude) * width, amplitude, scatter, ground: Math.max(0, solution[0]) - (chunk.own ?? 0),
    sigma: (width * Math.sqrt(scatter * system.inverseDiagonal(SLOPE, size))) / Math.abs(amplitude),
    significance: Math.abs(amplitude) / Math.sqrt(scatter * system.inverseDiagonal(SHAPE, size)),
  };
}

/** The fit without the step, which says how it is to be weighed. */
function evenFit(squares: number, n: number): Pick<Located, "amplitude" | "scatter"> | null {
  return system.solve(TERMS - 1) ? { amplitude: solution[SHAPE], scatter: scatterOf(squares, n, TERMS - 1) } : null;
}

/** Sums the normal equations (lower triangle) of the samples within `reach` of the centre. */
function sumUp(chunk: Pick<Chunk, "profile">, grid: StripGrid, line: boolean, centre: number, width: number, reach: number, size: number): { n: number; squares: number } {
  const from = Math.max(0, Math.ceil((centre - reach + grid.reach) / grid.step));
  const to = Math.min(grid.count - 1, Math.floor((centre + reach + grid.reach) / grid.step));
  if (columns[0].length < grid.count) for (let a = 0; a <= TERMS; a++) columns[a] = new Float64Array(grid.count);
  const [ones, ramp, shape, slope, step, light] = columns;
  let n = 0;
  for (let i = from; i <= to; i++) {
    const value = chunk.profile[i];
    if (Number.isNaN(value)) continue;
    const t = i * grid.step - grid.reach - centre;
    const z = t / width;
    ones[n] = 1;
    ramp[n] = t / reach;
    shape[n] = line ? HEIGHT * density(z) : integral(z);
    slope[n] = line ? z * shape[n] : -density(z);
    if (size === TERMS) step[n] = integral(z) - 0.5;
    light[n++] = value;
  }
  for (let a = 0; a < size; a++) {
    right[a] = dot(columns[a], light, n);
    for (let b = 0; b <= a; b++) matrix[TERMS * a + b] = dot(columns[a], columns[b], n);
  }
  return { n, squares: dot(light, light, n) };
}

/** Sum of the products of the first n of two columns. */
function dot(a: Float64Array, b: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[i] * b[i];
  return sum;
}

/** Sum of squared residuals per degree of freedom of the last solution. */
function scatterOf(squares: number, n: number, size: number): number {
  return Math.max(0, squares - system.explained(size)) / (n - size) + 1e-8;
}

/** Slit widths, step spreads and crease widths that are tried, mm; the picture's blur is added to each. */
const WIDTHS: Readonly<Record<CutLook, readonly number[]>> = {
  line: [0.04, 0.08, 0.12, 0.17, 0.24, 0.33],
  step: [0, 0.06, 0.12, 0.2],
  crease: [0.4, 0.6, 0.9, 1.3],
};

/** The profile width that fits a sample of some chunks best, mm. */
export function profileWidth(chunks: readonly Chunk[], places: readonly number[], grid: StripGrid, look: CutLook, blur: number, some = 16): number {
  const stride = Math.max(1, Math.floor(chunks.length / some));
  let best = Math.hypot(blur, WIDTHS[look][1]);
  let least = Infinity;
  for (const own of WIDTHS[look]) {
    const width = Math.hypot(blur, own);
    let sum = 0;
    let n = 0;
    for (let k = 0; k < chunks.length; k += stride) {
      const found = chunks[k].stations > 0 ? locate(chunks[k], grid, look, places[k], width) : null;
      if (!found) continue;
      // Within a wide slit a narrow one scatters little, and is next to nothing.
      sum += Math.log(found.scatter / (look === "line" ? found.amplitude ** 2 : 1));
      n++;
    }
    // A width for which fewer chunks have an answer is no better for fitting those.
    const score = n === 0 ? Infinity : sum / n - 2 * Math.log(n);
    if (score < least) {
      least = score;
      best = width;
    }
  }
  return best;
}
