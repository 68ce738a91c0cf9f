import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import { homographyTerms } from "../geometry/homographyTerms.ts";
import { levenbergMarquardt } from "../geometry/levenbergMarquardt.ts";

/**
 * A rough view used while matching: a homography and one radial term about the picture's centre, fitted with priors and to the
 * sizes in which the marks appear (what is nearer is larger), so that three points already give a usable prediction and its uncertainty.
 *
 * In normalised units (print: centred, half span = 1; picture: centred, half diagonal = 1):
 *   w = 1 + gX + hY, ideal = ((aX + bY + c)/w, (dX + eY + f)/w), seen = ideal (1 + k |ideal|^2)
 * Priors: g, h ~ N(0, 0.2) (a tilt of 25 deg at a usual distance gives 0.25), k ~ N(0, 0.1) (the lens of a wide phone camera).
 * Size: the derivative's determinant is det H / w^3 times (1 + k r^2)(1 + 3 k r^2); s is a common excess of all sizes (gain of the ink, threshold).
 */
export interface LayoutFit {
  /** a b c d e f g h k s */
  readonly parameters: Float64Array;
  readonly covariance: Float64Array;
  readonly frame: LayoutFrame;
}

/** The normalisation of print and picture coordinates. */
export interface LayoutFrame {
  readonly print: { readonly x: number; readonly y: number; readonly half: number };
  readonly picture: { readonly x: number; readonly y: number; readonly half: number };
}

export interface Sighting {
  readonly print: PrintPoint;
  readonly picture: PicturePoint;
  /** Standard uncertainty of the picture point, px, each axis. */
  readonly sigma: number;
  /** Natural logarithm of the scale, px per mm, that its area speaks for, where known. */
  readonly logScale?: number;
}

/** Terms of the view, and those with the excess of the sizes. */
const TERMS = 9;
const ALL = TERMS + 1;
const SIZE_SCATTER = 0.1;
const SIZE_EXCESS = 0.1;
const PERSPECTIVE_PRIOR = 0.2;
const LENS_PRIOR = 0.1;
/** Share of the misfit that another step would have to take away: candidates are known to a pixel or two only. */
const ENOUGH = 1e-4;

/** The frame of a set of print points and a picture size. */
export function layoutFrame(points: readonly PrintPoint[], picture: { width: number; height: number }): LayoutFrame {
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  const x = (Math.min(...xs) + Math.max(...xs)) / 2;
  const y = (Math.min(...ys) + Math.max(...ys)) / 2;
  return {
    print: { x, y, half: Math.max(Math.max(...xs) - x, Math.max(...ys) - y, 1e-6) },
    picture: { x: (picture.width - 1) / 2, y: (picture.height - 1) / 2, half: Math.hypot(picture.width, picture.height) / 2 },
  };
}

/** Fits the rough view to three or more sightings; null where they do not determine it (points in a line). */
export function fitLayout(frame: LayoutFrame, sightings: readonly Sighting[], start?: Float64Array): LayoutFit | null {
  const first = start ?? affineStart(frame, sightings);
  if (!first) return null;
  const row = new Float64Array(ALL);
  const jacobian = new Float64Array(2 * TERMS);
  const at = new Float64Array(2);
  const unit = Math.log(frame.print.half / frame.picture.half);
  const result = levenbergMarquardt(first, (p, add) => {
    for (const s of sightings) {
      const X = (s.print.x - frame.print.x) / frame.print.half;
      const Y = (s.print.y - frame.print.y) / frame.print.half;
      predict(p, X, Y, at, jacobian);
      const weight = (frame.picture.half / s.sigma) ** 2;
      row.set(jacobian.subarray(0, TERMS));
      row[TERMS] = 0;
      add(row, (s.picture.x - frame.picture.x) / frame.picture.half - at[0], weight);
      row.set(jacobian.subarray(TERMS));
      row[TERMS] = 0;
      add(row, (s.picture.y - frame.picture.y) / frame.picture.half - at[1], weight);
      if (s.logScale !== undefined) add(row, s.logScale + unit - logScaleAt(p, X, Y, row), 1 / SIZE_SCATTER ** 2);
    }
    for (let i = 6; i < ALL; i++) {
      row.fill(0);
      row[i] = 1;
      add(row, -p[i], 1 / (i === TERMS ? SIZE_EXCESS : i === 8 ? LENS_PRIOR : PERSPECTIVE_PRIOR) ** 2);
    }
  }, { maxIterations: 12, tolerance: ENOUGH, damping: 1e-4 });
  return result.covariance ? { parameters: result.parameters, covariance: result.covariance, frame } : null;
}

/** Logarithm of the local scale (normalised units) with the sizes' excess, and its derivative by all terms into `row` (the lens's own small share of it left out). */
function logScaleAt(p: Float64Array, X: number, Y: number, row: Float64Array): number {
  const [a, b, c, d, e, f, g, h, k] = p;
  const w = 1 + g * X + h * Y;
  const det = a * (e - f * h) - b * (d - f * g) + c * (d * h - e * g);
  const half = 0.5 / det;
  row[0] = half * (e - f * h);
  row[1] = half * (f * g - d);
  row[2] = half * (d * h - e * g);
  row[3] = half * (c * h - b);
  row[4] = half * (a - c * g);
  row[5] = half * (b * g - a * h);
  row[6] = half * (b * f - c * e) - (1.5 * X) / w;
  row[7] = half * (c * d - a * f) - (1.5 * Y) / w;
  const u = (a * X + b * Y + c) / w;
  const v = (d * X + e * Y + f) / w;
  const r2 = u * u + v * v;
  const [f1, f3] = [Math.max(0.2, 1 + k * r2), Math.max(0.2, 1 + 3 * k * r2)];
  row[8] = 0.5 * (r2 / f1 + (3 * r2) / f3);
  row[TERMS] = 1;
  return 0.5 * Math.log(Math.abs(det) * f1 * f3) - 1.5 * Math.log(Math.max(w, 0.05)) + p[TERMS];
}

/** Prediction of a print point with its covariance (px, px^2), from the fit's own uncertainty alone. */
export interface Prediction {
  readonly x: number;
  readonly y: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** Where a print point is seen, px. */
export function placeOf({ parameters, frame }: LayoutFit, p: PrintPoint): PicturePoint {
  const at = new Float64Array(2);
  predict(parameters, (p.x - frame.print.x) / frame.print.half, (p.y - frame.print.y) / frame.print.half, at, null);
  return { x: frame.picture.x + frame.picture.half * at[0], y: frame.picture.y + frame.picture.half * at[1] };
}

/** The same with its uncertainty. */
export function predictPoint(fit: LayoutFit, p: PrintPoint): Prediction {
  const { frame, covariance } = fit;
  const at = new Float64Array(2);
  const j = new Float64Array(2 * TERMS);
  predict(fit.parameters, (p.x - frame.print.x) / frame.print.half, (p.y - frame.print.y) / frame.print.half, at, j);
  const half = frame.picture.half;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let a = 0; a < TERMS; a++) {
    for (let b = 0; b < TERMS; b++) {
      const c = covariance[a * ALL + b];
      xx += j[a] * c * j[b];
      xy += j[a] * c * j[TERMS + b];
      yy += j[TERMS + a] * c * j[TERMS + b];
    }
  }
  const h2 = half * half;
  return { x: frame.picture.x + half * at[0], y: frame.picture.y + half * at[1], xx: xx * h2, xy: xy * h2, yy: yy * h2 };
}

/** Derivative print to picture at a point, by differences over 1 mm: [[a, b], [c, d]], px per mm. */
export function localScale(fit: LayoutFit, p: PrintPoint): [number, number, number, number] {
  const { frame } = fit;
  const out = new Float64Array(2);
  const seen = (x: number, y: number): [number, number] => {
    predict(fit.parameters, (x - frame.print.x) / frame.print.half, (y - frame.print.y) / frame.print.half, out, null);
    return [out[0] * frame.picture.half, out[1] * frame.picture.half];
  };
  const [x1, y1] = seen(p.x + 0.5, p.y);
  const [x0, y0] = seen(p.x - 0.5, p.y);
  const [x3, y3] = seen(p.x, p.y + 0.5);
  const [x2, y2] = seen(p.x, p.y - 0.5);
  return [x1 - x0, x3 - x2, y1 - y0, y3 - y2];
}

function predict(p: Float64Array, X: number, Y: number, out: Float64Array, jacobian: Float64Array | null): void {
  const w = 1 + p[6] * X + p[7] * Y;
  const u = (p[0] * X + p[1] * Y + p[2]) / w;
  const v = (p[3] * X + p[4] * Y + p[5]) / w;
  const r2 = u * u + v * v;
  const k = p[8];
  const f = 1 + k * r2;
  out[0] = u * f;
  out[1] = v * f;
  if (!jacobian) return;
  homographyTerms(jacobian, TERMS, X, Y, w, u, v, f + 2 * k * u * u, 2 * k * u * v, f + 2 * k * v * v);
  jacobian[8] = u * r2;
  jacobian[TERMS + 8] = v * r2;
}

/** The affine least-squares start, or null where the print points lie in a line. */
function affineStart(frame: LayoutFrame, sightings: readonly Sighting[]): Float64Array | null {
  const row = new Float64Array(6);
  const result = levenbergMarquardt(new Float64Array(6), (p, add) => {
    for (const s of sightings) {
      const X = (s.print.x - frame.print.x) / frame.print.half;
      const Y = (s.print.y - frame.print.y) / frame.print.half;
      row.set([X, Y, 1, 0, 0, 0]);
      add(row, (s.picture.x - frame.picture.x) / frame.picture.half - (p[0] * X + p[1] * Y + p[2]), 1);
      row.set([0, 0, 0, X, Y, 1]);
      add(row, (s.picture.y - frame.picture.y) / frame.picture.half - (p[3] * X + p[4] * Y + p[5]), 1);
    }
  }, { maxIterations: 3, damping: 0 });
  if (!result.covariance) return null;
  return Float64Array.from([...result.parameters, 0, 0, 0, 0]);
}
