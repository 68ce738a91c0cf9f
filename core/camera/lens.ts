import type { PicturePoint } from "../geometry/frames.ts";

/**
 * Radial and tangential lens distortion after Brown (1971) and Conrady, in the order and signs used by OpenCV:
 * with x' = (x - cx)/fx, y' = (y - cy)/fy the ideal (pinhole) direction and r^2 = x'^2 + y'^2,
 *
 *   x'' = x' (1 + k1 r^2 + k2 r^4 + k3 r^6) + 2 p1 x' y' + p2 (r^2 + 2 x'^2)
 *   y'' = y' (1 + k1 r^2 + k2 r^4 + k3 r^6) + p1 (r^2 + 2 y'^2) + 2 p2 x' y'
 */
export interface Lens {
  /** Focal lengths and principal point, picture pixels. */
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly k1: number;
  readonly k2: number;
  readonly p1: number;
  readonly p2: number;
  readonly k3: number;
}

/** The parameters of a lens in the order used by derivatives and covariances. */
export const LENS_PARAMETERS = ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2", "k3"] as const;

/** A picture point before the lens, or why there is none. */
export type Undistorted = (PicturePoint & { readonly ok: true }) | { readonly ok: false; readonly reason: string };

/** Ideal (pinhole) picture point -> the point where this lens shows it. Beyond `radiusLimit` the model folds back: see there. */
export function distort(lens: Lens, x: number, y: number): PicturePoint {
  const { fx, fy, cx, cy, k1, k2, p1, p2, k3 } = lens;
  const a = (x - cx) / fx;
  const b = (y - cy) / fy;
  const s = a * a + b * b;
  const radial = 1 + s * (k1 + s * (k2 + s * k3));
  return {
    x: cx + fx * (a * radial + 2 * p1 * a * b + p2 * (s + 2 * a * a)),
    y: cy + fy * (b * radial + p1 * (s + 2 * b * b) + 2 * p2 * a * b),
  };
}

/** Places in the array written by `distortWithDerivatives`. */
export const DISTORTED = { point: 0, byPoint: 2, xByLens: 6, yByLens: 15, length: 24 } as const;

/**
 * As `distort`, with derivatives, written to `out` (24 values): x, y; d(x, y)/d(ideal x, y) row by row; dx/d(lens) and
 * dy/d(lens), nine each in the order of LENS_PARAMETERS. Allocates nothing.
 */
export function distortWithDerivatives(lens: Lens, x: number, y: number, out: Float64Array): void {
  const { fx, fy, cx, cy, k1, k2, p1, p2, k3 } = lens;
  const a = (x - cx) / fx;
  const b = (y - cy) / fy;
  const s = a * a + b * b;
  const ab = a * b;
  const radial = 1 + s * (k1 + s * (k2 + s * k3));
  const slope = 2 * (k1 + s * (2 * k2 + s * 3 * k3)); // d radial / da = slope * a
  const da = a * radial + 2 * p1 * ab + p2 * (s + 2 * a * a);
  const db = b * radial + p1 * (s + 2 * b * b) + 2 * p2 * ab;
  const xx = radial + slope * a * a + 2 * p1 * b + 6 * p2 * a;
  const xy = slope * ab + 2 * p1 * a + 2 * p2 * b;
  const yy = radial + slope * b * b + 6 * p1 * b + 2 * p2 * a;
  out[0] = cx + fx * da;
  out[1] = cy + fy * db;
  out[2] = xx;
  out[3] = (xy * fx) / fy;
  out[4] = (xy * fy) / fx;
  out[5] = yy;
  out[6] = da - xx * a;
  out[7] = (-xy * b * fx) / fy;
  out[8] = 1 - xx;
  out[9] = -out[3];
  out[10] = fx * a * s;
  out[11] = out[10] * s;
  out[12] = 2 * fx * ab;
  out[13] = fx * (s + 2 * a * a);
  out[14] = out[11] * s;
  out[15] = (-xy * a * fy) / fx;
  out[16] = db - yy * b;
  out[17] = -out[4];
  out[18] = 1 - yy;
  out[19] = fy * b * s;
  out[20] = out[19] * s;
  out[21] = fy * (s + 2 * b * b);
  out[22] = 2 * fy * ab;
  out[23] = out[20] * s;
}

/**
 * Seen picture point -> the ideal (pinhole) one: a bracketed Newton search along the radius, then Newton in the plane for
 * the tangential terms, to rounding. Fails outside the range in which the radial model grows with the radius: there it
 * would give a point that the lens cannot have shown.
 */
export function undistort(lens: Lens, u: number, v: number): Undistorted {
  const { fx, fy, cx, cy } = lens;
  const seen = Math.hypot((u - cx) / fx, (v - cy) / fy);
  if (seen === 0 || isPinhole(lens)) return { ok: true, x: u, y: v };
  const radius = undistortedRadius(lens, seen);
  if (radius === null) return { ok: false, reason: "the point lies outside the range of the lens model" };
  let x = cx + ((u - cx) * radius) / seen;
  let y = cy + ((v - cy) * radius) / seen;
  const out = inverting;
  for (let i = 0; i < 20; i++) {
    distortWithDerivatives(lens, x, y, out);
    const determinant = out[2] * out[5] - out[3] * out[4];
    if (!(determinant > 0)) break;
    const du = u - out[0];
    const dv = v - out[1];
    const dx = (out[5] * du - out[3] * dv) / determinant;
    const dy = (out[2] * dv - out[4] * du) / determinant;
    x += dx;
    y += dy;
    if (Math.abs(dx) + Math.abs(dy) < 1e-13 * (fx + fy)) {
      return isInRange(lens, x, y) ? { ok: true, x, y } : { ok: false, reason: "the point lies outside the range of the lens model" };
    }
  }
  return { ok: false, reason: "the lens model cannot be inverted at the point" };
}

/** Room for one point: tens of thousands are carried back in a picture. */
const inverting = new Float64Array(DISTORTED.length);

/**
 * The largest ideal radius, in focal lengths, up to which the radial model grows: the first positive root of
 * 1 + 3 k1 r^2 + 5 k2 r^4 + 7 k3 r^6; Infinity where it always grows.
 */
export function radiusLimit(lens: Lens): number {
  const known = limits.get(lens);
  if (known !== undefined) return known;
  const limit = findRadiusLimit(lens);
  limits.set(lens, limit);
  return limit;
}

/** Limits found already: every point that is carried back through a lens asks for it. */
const limits = new WeakMap<Lens, number>();

function findRadiusLimit(lens: Lens): number {
  const slope = (s: number) => 1 + s * (3 * lens.k1 + s * (5 * lens.k2 + s * 7 * lens.k3));
  // Between 0 and the extremes of the cubic it is monotonic, so a change of sign brackets the first root.
  const turns = quadraticRoots(21 * lens.k3, 10 * lens.k2, 3 * lens.k1).filter((s) => s > 0 && s < FARTHEST);
  let low = 0;
  for (const high of [...turns.sort((a, b) => a - b), FARTHEST]) {
    if (slope(high) <= 0) return Math.sqrt(bisect(slope, low, high));
    low = high;
  }
  return Infinity;
}

/** Square of the ideal radius beyond which no flat picture reaches (89.4 degrees off the axis). */
const FARTHEST = 1e4;

/** Whether an ideal picture point lies where the radial model still grows. */
export function isInRange(lens: Lens, x: number, y: number): boolean {
  const a = (x - lens.cx) / lens.fx;
  const b = (y - lens.cy) / lens.fy;
  const s = a * a + b * b;
  if (1 + s * (3 * lens.k1 + s * (5 * lens.k2 + s * 7 * lens.k3)) <= 0) return false;
  return Math.sqrt(s) < radiusLimit(lens);
}

function isPinhole(lens: Lens): boolean {
  return lens.k1 === 0 && lens.k2 === 0 && lens.k3 === 0 && lens.p1 === 0 && lens.p2 === 0;
}

/** Solves r (1 + k1 r^2 + k2 r^4 + k3 r^6) = seen within the monotonic range; null outside. */
function undistortedRadius(lens: Lens, seen: number): number | null {
  const value = (r: number) => r * (1 + r * r * (lens.k1 + r * r * (lens.k2 + r * r * lens.k3)));
  const limit = radiusLimit(lens);
  let high = limit;
  if (high === Infinity) for (high = 2 * seen; value(high) < seen; high *= 2);
  if (value(high) < seen) {
    // Tangential terms may still carry a point just past the limit of the radial ones.
    return value(high) > 0.98 * seen ? 0.999 * high : null;
  }
  let low = 0;
  let r = Math.min(seen, high);
  for (let i = 0; i < 60; i++) {
    const error = value(r) - seen;
    if (error > 0) high = r;
    else low = r;
    const slope = 1 + r * r * (3 * lens.k1 + r * r * (5 * lens.k2 + r * r * 7 * lens.k3));
    const next = r - error / slope;
    const step = next > low && next < high ? next : 0.5 * (low + high);
    if (Math.abs(step - r) < 1e-9 * seen) return step;
    r = step;
  }
  return r;
}

function quadraticRoots(a: number, b: number, c: number): number[] {
  if (a === 0) return b === 0 ? [] : [-c / b];
  const discriminant = b * b - 4 * a * c;
  if (discriminant < 0) return [];
  const q = -0.5 * (b + Math.sign(b || 1) * Math.sqrt(discriminant));
  return q === 0 ? [0] : [q / a, c / q];
}

function bisect(f: (x: number) => number, low: number, high: number): number {
  for (let i = 0; i < 60; i++) {
    const middle = 0.5 * (low + high);
    if (f(middle) > 0) low = middle;
    else high = middle;
  }
  return 0.5 * (low + high);
}
