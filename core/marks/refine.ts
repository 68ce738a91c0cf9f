import type { Covariance2, PicturePoint } from "../geometry/frames.ts";
import { levenbergMarquardt } from "../geometry/levenbergMarquardt.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Mark } from "../job/schema.ts";
import { robustSigma } from "../statistics/robustSigma.ts";
import { evenInk } from "./evenInk.ts";
import { localMap, type LocalMap, type PlaneMap } from "./localMap.ts";
import { COVERAGE_TERMS, coverageOf, otherQuarters, reach, type Coverage } from "./shapes.ts";

/** A mark's centre to sub-pixel, with what the fit says of the print and the picture. */
export interface RefinedMark {
  readonly ok: true;
  /** Centre: picture pixels. */
  readonly at: PicturePoint;
  /** Covariance of the centre, px^2, scaled by the fit's own residuals. */
  readonly covariance: Covariance2<"picture">;
  /** By how much the ink's outline lies outside the nominal one, mm (dot gain). */
  readonly gain: number;
  /** Blur of the edges: sigma, px. */
  readonly blur: number;
  /** Ink minus board, linear light 0..1 (negative for a dark mark). */
  readonly contrast: number;
  /** Residual scatter, linear light. */
  readonly noise: number;
}

export interface MarkNotRefined {
  readonly ok: false;
  readonly reason: string;
}

/** Parameters of the fit: centre, gain, blur (see `blurOf`), contrast with its slopes, board with its slopes. */
const TERMS = 10;
/** Least blur, px: the pixel's own square (1/sqrt 12). The fitted term is the logarithm of what lies above it, so no step can reach an edge without slope. */
const LEAST_BLUR = 0.29;
const blurOf = (term: number): number => LEAST_BLUR + Math.exp(term);
/**
 * Light falls on ink and board alike, so the slope of the contrast is that of the board times contrast over board, but for glare, which adds to both. By how much it may
 * differ across the window, as a share of the contrast (standard deviation; common practice, no source): usually, and where the pixels show that it differs by more than
 * CONTRADICTED times that. Those of a small, blurred mark cannot tell a slope from a shift.
 */
const GLARE = 0.002;
const MUCH_GLARE = 0.05;
const CONTRADICTED = 3;
/** Board darker than this, linear light, is seen by stray light as much as by its own. */
const LEAST_BOARD = 0.02;
/** Share of the variance that the shape must explain: noise of a fifth of the contrast, or a texture as strong, is let through. */
const LEAST_EXPLAINED = 0.8;
/** The same of the start, which counts specks and print beside the mark in full. */
const LEAST_EXPLAINED_AT_FIRST = 0.4;
/** More pixels than this do not help a start, and fewer than all suffice away from the edges where ink is uneven. */
const ENOUGH_PIXELS = 1000;
const ENOUGH_EDGE = 3000;
const ENOUGH_IN_ALL = 10_000;
/**
 * Relative gains of the sum of squares at which the start and the end of the fit stop. The last step is taken still: at a gain of 1e-5, which in some thousand pixels is
 * a fifth of a standard deviation, what that step leaves is of the second order in it.
 */
const COARSE = 1e-2;
const FINE = 1e-5;

/**
 * Least squares of a mark's blurred shape on the window's linear grey values. The shape is that of the print plane,
 * carried into the picture by `map`, so the centre found is the image of the mark's centre, not the centre of its ellipse. Dot
 * gain, blur and the light's slope inside and outside the ink are free, so none of them moves the centre.
 *
 * @param map where print points are expected; a few pixels off is near enough.
 * @param start the expected centre, picture pixels.
 */
export function refineMark(sampler: Sampler, mark: Mark, map: PlaneMap, start: PicturePoint): RefinedMark | MarkNotRefined {
  const local = localMap(map, start, reach(mark));
  if (!local) return { ok: false, reason: "lies outside the picture" };
  const coarse = collectPixels(sampler, mark, local, null);
  if (coarse.count < 3 * TERMS) return { ok: false, reason: "lies too near the picture's edge or is too small" };
  const printed = refineAs(sampler, mark, local, coarse, coverageOf(mark, local.blur));
  if (printed.ok || mark.shape !== "checker" || mark.tone === "dark") return printed;
  // A checker's dark quarters are the upper right and the lower left one: on dark board those are the board's, and light ink has the other two.
  const light = refineAs(sampler, mark, local, coarse, otherQuarters(mark, local.blur));
  return light.ok && light.contrast > 0 ? light : printed;
}

function refineAs(sampler: Sampler, mark: Mark, local: LocalMap, coarse: Pixels, coverage: Coverage): RefinedMark | MarkNotRefined {
  const first = fit(coarse, coverage, startValues(coarse, coverage, local), null, COARSE);
  if (!first || first.explained < LEAST_EXPLAINED_AT_FIRST) return { ok: false, reason: "no such shape there" };
  const wide = blurOf(first.parameters[3]) > 1.2;
  let pixels = coarse.all && !wide ? coarse : collectPixels(sampler, mark, local, { coverage, parameters: first.parameters, wholeInk: false });
  let tied = fit(pixels, coverage, first.parameters, { noise: first.noise, glare: GLARE }, FINE);
  if (tied && !pixels.all && isEven(sampler, mark, local, coverage, tied.parameters)) {
    pixels = collectPixels(sampler, mark, local, { coverage, parameters: tied.parameters, wholeInk: true });
    tied = fit(pixels, coverage, tied.parameters, { noise: tied.noise, glare: GLARE }, FINE);
  }
  const last = tied && glareOf(tied.parameters) > CONTRADICTED * GLARE ? fit(pixels, coverage, tied.parameters, { noise: tied.noise, glare: MUCH_GLARE }, FINE) : tied;
  if (!last) return { ok: false, reason: "no such shape there" };
  return conclude(mark, local, last);
}

interface Pixels {
  readonly count: number;
  readonly all: boolean;
  /** Offset from the expected centre in the print plane, mm. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Offset in the picture as a share of the window. */
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly value: Float64Array;
}

/** What an earlier fit has found, and whether all pixels of the ink are wanted: a part of them does where they are alike. */
interface Known {
  readonly coverage: Coverage;
  readonly parameters: Float64Array;
  readonly wholeInk: boolean;
}

function collectPixels(sampler: Sampler, mark: Mark, local: LocalMap, known: Known | null): Pixels {
  const inner = reach(mark) * local.scale;
  const blur = known ? blurOf(known.parameters[3]) : 1;
  // Four sigmas beyond the edge tell the light's slope from a shift; where blur is many pixels, three and a little do, and what lies beside the mark stays out.
  const radius = inner + Math.max(3, Math.min(4 * blur, 3 * blur + 2), 2 + 0.12 * inner);
  const x0 = Math.max(0, Math.ceil(local.at.x - radius));
  const x1 = Math.min(sampler.width - 1, Math.floor(local.at.x + radius));
  const y0 = Math.max(0, Math.ceil(local.at.y - radius));
  const y1 = Math.min(sampler.height - 1, Math.floor(local.at.y + radius));
  const total = Math.max(0, x1 - x0 + 1) * Math.max(0, y1 - y0 + 1);
  const stride = Math.max(1, Math.floor(Math.sqrt(total / ENOUGH_PIXELS)));
  // A band of some eight pixels along the outline; of a large mark every n-th pixel is enough.
  const thinning = Math.max(1, Math.round((2 * Math.PI * inner * 8) / ENOUGH_EDGE), Math.round(total / ENOUGH_IN_ALL));
  const u: number[] = [];
  const v: number[] = [];
  const dx: number[] = [];
  const dy: number[] = [];
  const value: number[] = [];
  const uv = new Float64Array(2);
  const row = new Float64Array(COVERAGE_TERMS);
  const limit = (radius / local.scale) ** 2;
  const extent = reach(mark) ** 2;
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const sparse = x % stride === 0 && y % stride === 0;
      if (!known && !sparse) continue;
      local.toPrint(x - local.at.x, y - local.at.y, uv);
      if (uv[0] * uv[0] + uv[1] * uv[1] > limit) continue;
      if (known && !sparse) {
        if ((7 * x + 13 * y) % thinning !== 0) continue;
        known.coverage(uv[0] - known.parameters[0], uv[1] - known.parameters[1], known.parameters[2], blurOf(known.parameters[3]), row);
        // Away from the edges thinned pixels will do, but for the board round the mark: there is little of it, and it tells the light's slope.
        if (!known.wholeInk && row[1] * row[1] + row[2] * row[2] < (0.002 * local.scale) ** 2 && uv[0] * uv[0] + uv[1] * uv[1] < extent) continue;
      }
      u.push(uv[0]);
      v.push(uv[1]);
      dx.push((x - local.at.x) / radius);
      dy.push((y - local.at.y) / radius);
      value.push(sampler.at(x, y));
    }
  }
  return {
    count: value.length, all: stride === 1, u: Float64Array.from(u), v: Float64Array.from(v),
    dx: Float64Array.from(dx), dy: Float64Array.from(dy), value: Float64Array.from(value),
  };
}

/** Coverage from which a pixel lies wholly in the ink. */
const IN_INK = 0.999;

/** Whether the pixels of a mark's ink say as much as so many independent ones (see evenInk.ts), under a fit's parameters. */
function isEven(sampler: Sampler, mark: Mark, local: LocalMap, coverage: Coverage, p: Float64Array): boolean {
  const inner = reach(mark) * local.scale;
  const uv = new Float64Array(2);
  const row = new Float64Array(COVERAGE_TERMS);
  const blur = blurOf(p[3]);
  const window = {
    x0: Math.max(0, Math.ceil(local.at.x - inner)), x1: Math.min(sampler.width - 1, Math.floor(local.at.x + inner)),
    y0: Math.max(0, Math.ceil(local.at.y - inner)), y1: Math.min(sampler.height - 1, Math.floor(local.at.y + inner)),
  };
  return evenInk(sampler, window, (x, y) => {
    local.toPrint(x - local.at.x, y - local.at.y, uv);
    coverage(uv[0] - p[0], uv[1] - p[1], p[2], blur, row);
    return row[0] > IN_INK;
  });
}

function startValues(pixels: Pixels, coverage: Coverage, local: LocalMap): Float64Array {
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

interface Fit {
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
function glareOf(p: Float64Array): number {
  return Math.hypot(p[5] - ratioOf(p) * p[8], p[6] - ratioOf(p) * p[9]) / Math.abs(p[4]);
}

/** @param tie null for a start: slopes are free and outliers count in full. */
function fit(pixels: Pixels, coverage: Coverage, start: Float64Array, tie: Tie | null, tolerance: number): Fit | null {
  const weights = new Float64Array(pixels.count).fill(1);
  let result = solve(pixels, coverage, start, weights, tie, tolerance);
  if (!result) return null;
  let noise = Math.sqrt(result.cost / Math.max(1, pixels.count - TERMS));
  if (tie && reweigh(pixels, coverage, result.parameters, noise, weights)) {
    result = solve(pixels, coverage, result.parameters, weights, { ...tie, noise }, tolerance);
    if (!result) return null;
    const kept = weights.reduce((s, w) => s + w, 0);
    noise = Math.sqrt(result.cost / Math.max(1, kept - TERMS));
  }
  const mean = pixels.value.reduce((s, v) => s + v, 0) / pixels.count;
  const total = pixels.value.reduce((s, v, i) => s + weights[i] * (v - mean) ** 2, 0);
  return { parameters: result.parameters, covariance: result.covariance.map((c) => c * noise * noise), noise, explained: 1 - result.cost / total };
}

function solve(pixels: Pixels, coverage: Coverage, start: Float64Array, weights: Float64Array, tie: Tie | null, tolerance: number): { parameters: Float64Array; covariance: Float64Array; cost: number } | null {
  const row = new Float64Array(TERMS);
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

function conclude(mark: Mark, local: LocalMap, last: Fit): RefinedMark | MarkNotRefined {
  const p = last.parameters;
  const blur = blurOf(p[3]);
  const extent = reach(mark);
  if (!(last.explained > LEAST_EXPLAINED)) return { ok: false, reason: "what is there does not have the mark's shape" };
  if (Math.hypot(p[0], p[1]) > Math.max(0.7 * extent, 5 / local.scale)) return { ok: false, reason: "lies too far from where it should" };
  if (Math.abs(p[2]) > 0.3 * thinnest(mark) + 1.5 / local.scale) return { ok: false, reason: "has another size" };
  if ((p[4] > 0 ? "light" : "dark") !== (mark.tone ?? (p[4] > 0 ? "light" : "dark"))) return { ok: false, reason: "has the wrong tone" };
  if (blur > 0.6 * extent * local.scale) return { ok: false, reason: "is too blurred" };
  const at = local.toPicture(p[0], p[1]);
  const [a, b, c, d] = local.derivative;
  const n = TERMS;
  const [xx, xy, yy] = [last.covariance[0], last.covariance[1], last.covariance[n + 1]];
  return {
    ok: true, at, gain: p[2], blur, contrast: p[4], noise: last.noise,
    covariance: {
      xx: a * a * xx + 2 * a * b * xy + b * b * yy,
      xy: a * c * xx + (a * d + b * c) * xy + b * d * yy,
      yy: c * c * xx + 2 * c * d * xy + d * d * yy,
    },
  };
}

function thinnest(mark: Mark): number {
  switch (mark.shape) {
    case "ring":
      return (mark.outer - mark.inner) / 2;
    case "cross":
      return mark.stroke;
    case "square":
      return mark.size / 2;
    default:
      return mark.diameter / 2;
  }
}

