import { levenbergMarquardt } from "../geometry/levenbergMarquardt.ts";
import { robustSigma } from "../statistics/robustSigma.ts";
import type { LocalMap } from "./localMap.ts";
import { COVERAGE_TERMS, type Coverage } from "./shapes.ts";

/** Parameters of the fit: centre and gain (mm), blur (see `blurOf`), contrast with its slopes, board with its slopes (linear light). */
export const SHAPE_TERMS = 10;
/** Least blur, px: the pixel's own square (1/sqrt 12). The fitted term is the logarithm of what lies above it, so no step can reach an edge without slope. */
const LEAST_BLUR = 0.29;
/** Blur, px, of its fitted term. */
export const blurOf = (term: number): number => LEAST_BLUR + Math.exp(term);
/** Board darker than this, linear light, is seen by stray light as much as by its own. */
const LEAST_BOARD = 0.02;

/** Pixels about a mark, in linear light. */
export interface Pixels {
  readonly count: number;
  /** None was passed over. */
  readonly all: boolean;
  /** Offset from the expected centre in the print plane, mm. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Offset in the picture as a share of the window. */
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly value: Float64Array;
}

/** Where a fit begins: in the expected place, with the light that the pixels have inside and outside the nominal shape. */
export function startOf(pixels: Pixels, coverage: Coverage, local: LocalMap): Float64Array {
  const row = new Float64Array(COVERAGE_TERMS);
  const sums = [0, 0, 0, 0];
  for (let i = 0; i < pixels.count; i++) {
    coverage(pixels.u[i], pixels.v[i], 0, 1, row);
    const side = row[0] > 0.6 ? 0 : row[0] < 0.1 ? 2 : -1;
    if (side < 0) continue;
    sums[side] += pixels.value[i];
    sums[side + 1]++;
  }
  const ink = sums[0] / Math.max(1, sums[1]);
  const board = sums[2] / Math.max(1, sums[3]);
  return Float64Array.from([0, 0, 0, Math.log(Math.max(0.6, 0.02 * local.scale)), ink - board, 0, 0, board, 0, 0]);
}

/** A shape fitted to the pixels about a mark: parameters with their covariance, residual scatter (linear light), and the share of the pixels' variance that it explains. */
export interface ShapeFit {
  readonly parameters: Float64Array;
  readonly covariance: Float64Array;
  readonly noise: number;
  readonly explained: number;
}

/** How the slopes of contrast and board are tied: the noise, linear light, as an earlier fit has told it, and the glare allowed, a share of the contrast. */
interface Tie {
  readonly noise: number;
  readonly glare: number;
}

/** Contrast over board, by which their slopes go. */
const ratioOf = (p: Float64Array): number => p[4] / Math.max(p[7], LEAST_BOARD);

/** How far the slope of the contrast is from what uneven light alone gives, as a share of the contrast across the window. */
export function glareOf(p: Float64Array): number {
  return Math.hypot(p[5] - ratioOf(p) * p[8], p[6] - ratioOf(p) * p[9]) / Math.abs(p[4]);
}

/**
 * The blurred shape that fits the pixels best; null where they do not determine it.
 *
 * @param tie null for a start: slopes are free and outliers count in full.
 * @param tolerance relative gain of the sum of squares at which the fit stops.
 */
export function fitShape(pixels: Pixels, coverage: Coverage, start: Float64Array, tie: Tie | null, tolerance: number): ShapeFit | null {
  const weights = new Float64Array(pixels.count).fill(1);
  let result = solve(pixels, coverage, start, weights, tie, tolerance);
  if (!result) return null;
  let noise = Math.sqrt(result.cost / Math.max(1, pixels.count - SHAPE_TERMS));
  if (tie && reweigh(pixels, coverage, result.parameters, noise, weights)) {
    result = solve(pixels, coverage, result.parameters, weights, { ...tie, noise }, tolerance);
    if (!result) return null;
    const kept = weights.reduce((s, w) => s + w, 0);
    noise = Math.sqrt(result.cost / Math.max(1, kept - SHAPE_TERMS));
  }
  const mean = pixels.value.reduce((s, v) => s + v, 0) / pixels.count;
  const total = pixels.value.reduce((s, v, i) => s + weights[i] * (v - mean) ** 2, 0);
  return { parameters: result.parameters, covariance: result.covariance.map((c) => c * noise * noise), noise, explained: 1 - result.cost / total };
}

function solve(pixels: Pixels, coverage: Coverage, start: Float64Array, weights: Float64Array, tie: Tie | null, tolerance: number): { parameters: Float64Array; covariance: Float64Array; cost: number } | null {
  const row = new Float64Array(SHAPE_TERMS);
  const c = new Float64Array(COVERAGE_TERMS);
  const result = levenbergMarquardt(start, (p, add) => {
    const blur = blurOf(p[3]);
    for (let i = 0; i < pixels.count; i++) {
      const dx = pixels.dx[i];
      const dy = pixels.dy[i];
      coverage(pixels.u[i] - p[0], pixels.v[i] - p[1], p[2], blur, c);
      const contrast = p[4] + p[5] * dx + p[6] * dy;
      row[0] = -contrast * c[1];
      row[1] = -contrast * c[2];
      row[2] = contrast * c[3];
      row[3] = (contrast * c[4] * (blur - LEAST_BLUR)) / blur;
      row[4] = c[0];
      row[5] = c[0] * dx;
      row[6] = c[0] * dy;
      row[7] = 1;
      row[8] = dx;
      row[9] = dy;
      add(row, pixels.value[i] - (contrast * c[0] + p[7] + p[8] * dx + p[9] * dy), weights[i]);
    }
    if (!tie) return;
    const ratio = ratioOf(p);
    for (const k of [5, 6]) {
      row.fill(0);
      row[k] = 1;
      row[k + 3] = -ratio;
      add(row, ratio * p[k + 3] - p[k], (tie.noise / (tie.glare * p[4])) ** 2);
    }
  }, { maxIterations: 14, tolerance, damping: 1e-3 });
  return result.covariance ? { parameters: result.parameters, covariance: result.covariance, cost: result.cost } : null;
}

/** Huber weights (from 2.5 robust standard deviations on) where outliers are seen: specks, print that runs into the window. False where there are none. */
function reweigh(pixels: Pixels, coverage: Coverage, p: Float64Array, noise: number, weights: Float64Array): boolean {
  const c = new Float64Array(COVERAGE_TERMS);
  const blur = blurOf(p[3]);
  const sizes = new Float64Array(pixels.count);
  for (let i = 0; i < pixels.count; i++) {
    coverage(pixels.u[i] - p[0], pixels.v[i] - p[1], p[2], blur, c);
    const model = (p[4] + p[5] * pixels.dx[i] + p[6] * pixels.dy[i]) * c[0] + p[7] + p[8] * pixels.dx[i] + p[9] * pixels.dy[i];
    sizes[i] = Math.abs(pixels.value[i] - model);
  }
  const sigma = robustSigma(sizes);
  if (noise < 1.25 * sigma) return false;
  for (let i = 0; i < pixels.count; i++) weights[i] = sizes[i] <= 2.5 * sigma ? 1 : (2.5 * sigma) / sizes[i];
  return true;
}
