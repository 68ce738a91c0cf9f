import { bilinear } from "../image/bilinear.ts";
import type { Reduced } from "../image/reduce.ts";
import type { Mark } from "../job/schema.ts";
import { coverageOf, COVERAGE_TERMS } from "./coverage.ts";
import { inkMoments } from "./descriptor.ts";

/**
 * The light on rings about a patch's centre, in the frame in which the second moments of its contrast are one: mean 0 and square sum 1, each ring weighed by its
 * length. In this frame a mark is its own shape turned, whatever its size and tilt (whitening takes any affine view out but for a turn).
 */
export type Patch = Float32Array;

const RINGS = 7;
const SPOKES = 32;
/** How far the rings go, in standard deviations of the ink: a dot's edge lies at 2, a cross's ends lie at 2.4. */
const OUTERMOST = 2.6;
/** Softness of a mark's outline in the frame: what blur and the pixels of a small copy leave. */
const SOFT = 0.2;

const radius = Float64Array.from({ length: RINGS }, (_, r) => (OUTERMOST * (r + 0.5)) / RINGS);
const U = Float64Array.from({ length: RINGS * SPOKES }, (_, i) => radius[(i / SPOKES) | 0] * Math.cos((2 * Math.PI * i) / SPOKES));
const V = Float64Array.from({ length: RINGS * SPOKES }, (_, i) => radius[(i / SPOKES) | 0] * Math.sin((2 * Math.PI * i) / SPOKES));

/** The patch of a copy about (x, y), px of the copy, whose contrast has the given second moments, px^2; ink counts as high whatever its tone. Beyond the rim the picture goes on as it ends. */
export function patchAt({ width, height, data }: Reduced, x: number, y: number, moments: { readonly xx: number; readonly xy: number; readonly yy: number }, tone: "dark" | "light"): Patch {
  const [a, b, c] = squareRoot(moments.xx, moments.xy, moments.yy);
  const sign = tone === "dark" ? -1 : 1;
  const values = new Float32Array(U.length);
  for (let i = 0; i < values.length; i++) {
    const px = Math.max(0, Math.min(width - 1.001, x + a * U[i] + b * V[i]));
    const py = Math.max(0, Math.min(height - 1.001, y + b * U[i] + c * V[i]));
    const k = (py | 0) * width + (px | 0);
    values[i] = sign * bilinear(data[k], data[k + 1], data[k + width], data[k + width + 1], px - (px | 0), py - (py | 0));
  }
  return standardise(values);
}

/** The patch that a mark itself makes. */
export function patchOf(mark: Mark): Patch {
  const [xx, xy, yy] = inkMoments(mark);
  const [a, b, c] = squareRoot(xx, xy, yy);
  const soft = SOFT ** 2 * Math.sqrt(xx * yy - xy * xy);
  const coverage = coverageOf(mark, { xx: soft, xy: 0, yy: soft });
  const out = new Float64Array(COVERAGE_TERMS * U.length);
  coverage.at(U.map((u, i) => a * u + b * V[i]), U.map((u, i) => b * u + c * V[i]), 0, 1, out);
  return standardise(Float32Array.from(U, (_, i) => out[COVERAGE_TERMS * i]));
}

/** Correlation of a patch with a mark's own, -1 to 1, at the turn where it is best. What looks the same after a part of a turn need not be turned further. */
export function resemblance(patch: Patch, own: Patch, mark: Mark): number {
  const turns = { dot: 1, ring: 1, square: SPOKES / 4, cross: SPOKES / 4, checker: SPOKES / 2 }[mark.shape];
  let best = -1;
  for (let turn = 0; turn < turns; turn++) {
    let sum = 0;
    for (let from = 0; from < own.length; from += SPOKES) {
      for (let s = 0; s < SPOKES; s++) sum += own[from + s] * patch[from + ((s + turn) & (SPOKES - 1))];
    }
    if (sum > best) best = sum;
  }
  return best;
}

/** Takes the mean away and scales to square sum 1, in place; a sample stands for an area that grows with its ring. An even patch stays 0. */
function standardise(values: Float32Array): Patch {
  let [sum, whole, squares] = [0, 0, 0];
  for (let i = 0; i < values.length; i++) {
    const weight = radius[(i / SPOKES) | 0];
    sum += weight * values[i];
    whole += weight;
  }
  const mean = sum / whole;
  for (let i = 0; i < values.length; i++) squares += radius[(i / SPOKES) | 0] * (values[i] - mean) ** 2;
  const norm = Math.sqrt(squares);
  for (let i = 0; i < values.length; i++) values[i] = norm > 0 ? (Math.sqrt(radius[(i / SPOKES) | 0]) * (values[i] - mean)) / norm : 0;
  return values;
}

/** The symmetric square root of a covariance, as xx, xy, yy. */
function squareRoot(xx: number, xy: number, yy: number): [number, number, number] {
  const s = Math.sqrt(Math.max(xx * yy - xy * xy, 0));
  const t = Math.sqrt(Math.max(xx + yy + 2 * s, 1e-12));
  return [(xx + s) / t, xy / t, (yy + s) / t];
}
