import { density, integral } from "../image/normal.ts";
import { factor } from "../geometry/normalEquations.ts";
import type { CutLook } from "./evidence.ts";
import type { Chunk, StripGrid } from "./strip.ts";

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
  /** Light of the ground in the same place. */
  readonly ground: number;
}

/** A profile's shape and its derivative by t. */
type Shape = (t: number, width: number) => readonly [value: number, slope: number];

const lineShape: Shape = (t, width) => {
  const z = t / width;
  const v = Math.exp(-0.5 * z * z);
  return [v, (-z / width) * v];
};

const stepShape: Shape = (t, width) => [integral(t / width), density(t / width) / width];

/**
 * Fits a line's (Gaussian) or a step's (normal integral) profile on a sloping ground near `start`, by least squares linearised in
 * the place and repeated. Null where the fit runs away or nothing is there.
 *
 * @param width sigma of the profile, mm: blur and half the slit's width together.
 */
export function locate(chunk: Chunk, grid: StripGrid, look: CutLook, start: number, width: number): Located | null {
  const shape = look === "step" ? stepShape : lineShape;
  const reach = reachOf(look, width);
  let centre = start;
  for (let pass = 0; pass < 6; pass++) {
    const fit = linearFit(chunk, grid, shape, centre, width, reach);
    if (!fit) return null;
    const move = Math.max(-width, Math.min(width, fit.move));
    centre += move;
    if (Math.abs(centre - start) > Math.max(0.5, 2 * width)) return null;
    if (Math.abs(move) < 1e-4 || pass === 5) {
      return { t: centre, sigma: fit.sigma, amplitude: fit.amplitude, significance: fit.significance, scatter: fit.scatter, ground: fit.ground };
    }
  }
  return null;
}

interface LinearFit extends Omit<Located, "t"> {
  /** By how much the place would move, mm. */
  readonly move: number;
}

/** The fit at one given place, not repeated: what it says of the amplitude there, and how far and how surely the place would move. Null where too little is seen. */
export function fitAt(chunk: Chunk, grid: StripGrid, look: CutLook, centre: number, width: number): LinearFit | null {
  return linearFit(chunk, grid, look === "step" ? stepShape : lineShape, centre, width, reachOf(look, width));
}

/** How far from the centre the profile is fitted, mm. */
function reachOf(look: CutLook, width: number): number {
  return Math.max(look === "crease" ? 1.2 : 0.45, 2.6 * width);
}

/** The ground may differ between the two sides of a line (a shade, the edge of a lip, artwork) by about this share of the line's depth, standard deviation. */
const UNEVEN = 0.15;

/**
 * Terms: ground, its slope, the shape, the shape's slope (whose ratio to the shape's coefficient is minus the move), and for a line a step of the ground under it,
 * held near nothing by its prior: a shade on one side would else draw the line to it.
 */
function linearFit(chunk: Chunk, grid: StripGrid, shape: Shape, centre: number, width: number, reach: number): LinearFit | null {
  const line = shape !== stepShape;
  const sums = sumUp(chunk, grid, shape, centre, width, reach, line ? 5 : 4);
  if (sums.n < 7) return null;
  const even = solveTerms(sums, 4, 0);
  if (!even || !(Math.abs(even.x[2]) > 1e-6)) return null;
  const fit = line ? solveTerms(sums, 5, even.variance / (UNEVEN * even.x[2]) ** 2) : even;
  if (!fit) return null;
  const { x, variance, inverse, size } = fit;
  const amplitude = x[2];
  if (!(Math.abs(amplitude) > 1e-6)) return null;
  return {
    move: (x[3] / amplitude) * width, amplitude, scatter: variance, ground: x[0],
    sigma: (width * Math.sqrt(variance * inverse[3 * size + 3])) / Math.abs(amplitude),
    significance: Math.abs(amplitude) / Math.sqrt(variance * inverse[2 * size + 2]),
  };
}

interface Sums {
  /** 5 x 5, row-major. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  squares: number;
  n: number;
}

function sumUp(chunk: Chunk, grid: StripGrid, shape: Shape, centre: number, width: number, reach: number, terms: number): Sums {
  const from = Math.max(0, Math.ceil((centre - reach + grid.reach) / grid.step));
  const to = Math.min(grid.count - 1, Math.floor((centre + reach + grid.reach) / grid.step));
  const sums: Sums = { matrix: new Float64Array(25), right: new Float64Array(5), squares: 0, n: 0 };
  const row = new Float64Array(5);
  for (let i = from; i <= to; i++) {
    const value = chunk.profile[i];
    if (Number.isNaN(value)) continue;
    const t = i * grid.step - grid.reach - centre;
    const [v, d] = shape(t, width);
    row[0] = 1;
    row[1] = t / reach;
    row[2] = v;
    row[3] = -d * width;
    if (terms === 5) row[4] = integral(t / width) - 0.5;
    for (let a = 0; a < terms; a++) {
      sums.right[a] += row[a] * value;
      for (let b = 0; b < terms; b++) sums.matrix[5 * a + b] += row[a] * row[b];
    }
    sums.squares += value * value;
    sums.n++;
  }
  return sums;
}

/** Solves for the first `size` terms; `hold`: weight of the prior that holds the last one at nothing. */
function solveTerms(sums: Sums, size: number, hold: number): { x: Float64Array; inverse: Float64Array; variance: number; size: number } | null {
  const matrix = new Float64Array(size * size);
  for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) matrix[size * a + b] = sums.matrix[5 * a + b];
  matrix[size * size - 1] += hold;
  const right = sums.right.slice(0, size);
  const solved = factor(matrix, size);
  if ("undetermined" in solved) return null;
  const x = solved.solve(right);
  const residual = Math.max(0, sums.squares - x.reduce((s, v, a) => s + v * right[a], 0));
  return { x, inverse: solved.inverse(), variance: residual / (sums.n - size) + 1e-8, size };
}

/** Slit widths, step spreads and crease widths that are tried, mm; the picture's blur is added to each. */
const WIDTHS: Readonly<Record<CutLook, readonly number[]>> = {
  line: [0.04, 0.08, 0.12, 0.17, 0.24],
  step: [0, 0.06, 0.12, 0.2],
  crease: [0.4, 0.6, 0.9, 1.3],
};

/** The profile width that fits a sample of chunks best, mm. */
export function profileWidth(chunks: readonly Chunk[], places: readonly number[], grid: StripGrid, look: CutLook, blur: number): number {
  const stride = Math.max(1, Math.floor(chunks.length / 24));
  let best = Math.hypot(blur, WIDTHS[look][1]);
  let least = Infinity;
  for (const own of WIDTHS[look]) {
    const width = Math.hypot(blur, own);
    let sum = 0;
    let n = 0;
    for (let k = 0; k < chunks.length; k += stride) {
      const found = chunks[k].stations > 0 ? locate(chunks[k], grid, look, places[k], width) : null;
      if (!found) continue;
      sum += Math.log(found.scatter);
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
