import { levenbergMarquardt, type AddRow } from "../geometry/levenbergMarquardt.ts";
import { robustSigma } from "../statistics/robustSigma.ts";
import { COVERAGE_TERMS, type Coverage } from "./coverage.ts";
import type { LocalMap } from "./localMap.ts";
import { Room } from "./room.ts";

/** One fit at a time. */
const uRoom = new Room();
const vRoom = new Room();
const coveredRoom = new Room();

/** Parameters of the fit: centre and gain (mm), blur (see `blurOf`), contrast with its slopes, board with its slopes (linear light). */
export const SHAPE_TERMS = 10;
/** Least blur, px: the pixel's own square (1/sqrt 12). The fitted term is the logarithm of what lies above it, so no step can reach an edge without slope. */
const LEAST_BLUR = 0.29;
/** Blur, px, of its fitted term. */
export const blurOf = (term: number): number => LEAST_BLUR + Math.exp(term);
/** Blur's fitted term usually, with its standard deviation: 0.75 px, and from a third to three times what of it lies above the least (common practice, no source). */
const USUAL_BLUR = Math.log(0.46);
const BLUR_SCATTER = 1.2;
/** Noise, linear light, until a fit has told it. */
const NOISE_AT_FIRST = 0.01;
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
  const covered = coveredRoom.of(COVERAGE_TERMS * pixels.count);
  coverage.at(pixels.u, pixels.v, 0, 1, covered);
  const sums = [0, 0, 0, 0];
  for (let i = 0; i < pixels.count; i++) {
    const ofInk = covered[COVERAGE_TERMS * i];
    const side = ofInk > 0.6 ? 0 : ofInk < 0.1 ? 2 : -1;
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
  const equations = new ShapeEquations(pixels, coverage, weights);
  let result = solve(equations, start, tie, tolerance);
  if (!result) return null;
  let noise = Math.sqrt(result.cost / Math.max(1, pixels.count - SHAPE_TERMS));
  if (tie && reweigh(equations.sizes(result.parameters), noise, weights)) {
    result = solve(equations, result.parameters, { ...tie, noise }, tolerance);
    if (!result) return null;
    const kept = weights.reduce((s, w) => s + w, 0);
    noise = Math.sqrt(result.cost / Math.max(1, kept - SHAPE_TERMS));
  }
  const { count, value } = pixels;
  let [sum, total] = [0, 0];
  for (let i = 0; i < count; i++) sum += value[i];
  const mean = sum / count;
  for (let i = 0; i < count; i++) total += weights[i] * (value[i] - mean) ** 2;
  return { parameters: result.parameters, covariance: result.covariance.map((c) => c * noise * noise), noise, explained: 1 - result.cost / total };
}

function solve(equations: ShapeEquations, start: Float64Array, tie: Tie | null, tolerance: number): { parameters: Float64Array; covariance: Float64Array; cost: number } | null {
  const result = levenbergMarquardt(start, (p, add) => {
    equations.addPixels(p, add);
    equations.addBlur(p, tie?.noise ?? NOISE_AT_FIRST, add);
    if (tie) equations.addTies(p, tie, add);
  }, { maxIterations: 14, tolerance, damping: 1e-3 });
  return result.covariance ? { parameters: result.parameters, covariance: result.covariance, cost: result.cost } : null;
}

/** The rows of a shape's fit. */
class ShapeEquations {
  private readonly pixels: Pixels;
  private readonly coverage: Coverage;
  private readonly weights: Float64Array;
  /** Offset from the centre that is tried, mm, and the ink's coverage there. */
  private readonly u: Float64Array;
  private readonly v: Float64Array;
  private readonly covered: Float64Array;
  private readonly row = new Float64Array(SHAPE_TERMS);

  constructor(pixels: Pixels, coverage: Coverage, weights: Float64Array) {
    this.pixels = pixels;
    this.coverage = coverage;
    this.weights = weights;
    this.u = uRoom.of(pixels.count);
    this.v = vRoom.of(pixels.count);
    this.covered = coveredRoom.of(COVERAGE_TERMS * pixels.count);
  }

  addPixels(p: Float64Array, add: AddRow): void {
    const { pixels: { count, dx, dy, value }, weights, covered, row } = this;
    this.cover(p);
    const blur = blurOf(p[3]);
    for (let i = 0, k = 0; i < count; i++, k += COVERAGE_TERMS) {
      const contrast = p[4] + p[5] * dx[i] + p[6] * dy[i];
      const ink = covered[k];
      row[0] = -contrast * covered[k + 1];
      row[1] = -contrast * covered[k + 2];
      row[2] = contrast * covered[k + 3];
      row[3] = (contrast * covered[k + 4] * (blur - LEAST_BLUR)) / blur;
      row[4] = ink;
      row[5] = ink * dx[i];
      row[6] = ink * dy[i];
      row[7] = 1;
      row[8] = dx[i];
      row[9] = dy[i];
      add(row, value[i] - (contrast * ink + p[7] + p[8] * dx[i] + p[9] * dy[i]), weights[i]);
    }
  }

  /** That blur is of the usual size: a picture that was sharpened shows edges steeper than pixels can, and nothing else determines their blur. */
  addBlur(p: Float64Array, noise: number, add: AddRow): void {
    this.row.fill(0);
    this.row[3] = 1;
    add(this.row, USUAL_BLUR - p[3], (noise / BLUR_SCATTER) ** 2);
  }

  /** That the contrast slopes as the board does. */
  addTies(p: Float64Array, tie: Tie, add: AddRow): void {
    const { row } = this;
    const ratio = ratioOf(p);
    for (let k = 5; k <= 6; k++) {
      row.fill(0);
      row[k] = 1;
      row[k + 3] = -ratio;
      add(row, ratio * p[k + 3] - p[k], (tie.noise / (tie.glare * p[4])) ** 2);
    }
  }

  /** Sizes of the pixels' residuals. */
  sizes(p: Float64Array): Float64Array {
    const { pixels: { dx, dy, value }, covered } = this;
    this.cover(p);
    const sizes = new Float64Array(value.length);
    for (let i = 0; i < sizes.length; i++) sizes[i] = Math.abs(value[i] - ((p[4] + p[5] * dx[i] + p[6] * dy[i]) * covered[COVERAGE_TERMS * i] + p[7] + p[8] * dx[i] + p[9] * dy[i]));
    return sizes;
  }

  private cover(p: Float64Array): void {
    const { pixels, u, v } = this;
    for (let i = 0; i < u.length; i++) {
      u[i] = pixels.u[i] - p[0];
      v[i] = pixels.v[i] - p[1];
    }
    this.coverage.at(u, v, p[2], blurOf(p[3]), this.covered);
  }
}

/** Huber weights (from 2.5 robust standard deviations on) where outliers are seen: specks, print that runs into the window. False where there are none. */
function reweigh(sizes: Float64Array, noise: number, weights: Float64Array): boolean {
  const sigma = robustSigma(sizes);
  if (noise < 1.25 * sigma) return false;
  for (let i = 0; i < sizes.length; i++) weights[i] = sizes[i] <= 2.5 * sigma ? 1 : (2.5 * sigma) / sizes[i];
  return true;
}
