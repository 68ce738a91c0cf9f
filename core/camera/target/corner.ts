import type { PicturePoint } from "../../geometry/frames.ts";
import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import { density, integral } from "../../image/normal.ts";
import type { Sampler } from "../../image/sampler.ts";
import { type LocalMap, localMap, type PlaneMap } from "../../marks/localMap.ts";
import type { BoardCorner } from "./board.ts";

export type RefinedCorner = { readonly ok: true; readonly at: PicturePoint } | { readonly ok: false; readonly reason: string };

/** Parameters: place (u, v) mm, growth of the ink mm, blur (as a logarithm), light board, contrast, slopes of the light. */
const TERMS = 8;
/** Least blur, px: the pixel's own square. */
const LEAST_BLUR = 0.29;
const blurOf = (term: number): number => LEAST_BLUR + Math.exp(term);
/** The logarithm of what a usual picture's blur lies above the least, px. */
const USUAL_BLUR = Math.log(0.6);
/** The window, px: what is nearer to the markers than MARGIN is not looked at, more than MOST adds nothing, less than LEAST is no corner. */
const MARGIN = 2.5;
const MOST = 16;
const LEAST = 3.5;
/** Share of the variance that the corner must explain. */
const LEAST_EXPLAINED = 0.85;

/**
 * Least squares of a blurred chessboard corner on linear light, in the target's own plane: two dark quarters whose ink may have grown, under
 * light that falls unevenly on ink and board alike. All of these are the same on opposite sides of the corner, so none of them moves it.
 *
 * @param start where the corner is expected, picture pixels: within half the window.
 * @param free distance, mm, from the corner to the nearest other print.
 */
export function refineCorner(sampler: Sampler, corner: BoardCorner, map: PlaneMap, start: PicturePoint, free: number): RefinedCorner {
  const local = localMap(map, start, free);
  if (!local) return { ok: false, reason: "lies outside the picture" };
  const radius = Math.min(MOST, free * leastScale(local) - MARGIN);
  if (!(radius >= LEAST)) return { ok: false, reason: "is too small" };
  // The first fit may begin some pixels off; the second has its window in the right place.
  const first = fit(sampler, corner, local, radius);
  if (!first.ok) return first;
  const again = localMap(map, first.at, free);
  return again ? fit(sampler, corner, again, radius) : { ok: false, reason: "lies outside the picture" };
}

/** Pixels per mm in the direction in which a tilted plane is shortened most. */
function leastScale({ derivative: [a, b, c, d] }: LocalMap): number {
  const half = (a * a + b * b + c * c + d * d) / 2;
  const det = a * d - b * c;
  return Math.sqrt(half - Math.sqrt(Math.max(0, half * half - det * det)));
}

function fit(sampler: Sampler, corner: BoardCorner, local: LocalMap, radius: number): RefinedCorner {
  const { at } = local;
  const [x0, y0] = [Math.ceil(at.x - radius), Math.ceil(at.y - radius)];
  const [x1, y1] = [Math.floor(at.x + radius), Math.floor(at.y + radius)];
  if (!(x0 >= 0 && y0 >= 0 && x1 < sampler.width && y1 < sampler.height)) return { ok: false, reason: "lies too near the picture's edge" };
  const side = corner.darkUpperRight ? 1 : -1;
  const pixels = window(sampler, local, radius, side, [x0, y0, x1, y1]);
  const mean = pixels.reduce((s, p) => s + p.value, 0) / pixels.length;
  const total = pixels.reduce((s, p) => s + (p.value - mean) ** 2, 0);
  const spread = Math.sqrt(total / pixels.length);
  const [sx, sy] = [Math.sqrt(local.blur.xx), Math.sqrt(local.blur.yy)];
  const row = new Float64Array(TERMS);
  const inked = new Float64Array(4);
  const start = Float64Array.from([0, 0, 0, USUAL_BLUR, mean + spread, -2 * spread, 0, 0]);
  const result = levenbergMarquardt(start, (p, add) => {
    const blur = blurOf(p[3]);
    for (const { u, v, dx, dy, value } of pixels) {
      quarters(u - p[0], v - p[1], p[2], sx * blur, sy * blur, inked);
      const light = 1 + p[6] * dx + p[7] * dy;
      const print = p[4] + p[5] * inked[0];
      row[0] = -light * p[5] * inked[1];
      row[1] = -light * p[5] * inked[2];
      row[2] = light * p[5] * inked[3];
      row[3] = (light * p[5] * (inked[1] * -(u - p[0]) + inked[2] * -(v - p[1]) - p[2] * inked[3]) * (blur - LEAST_BLUR)) / blur;
      row[4] = light;
      row[5] = light * inked[0];
      row[6] = print * dx;
      row[7] = print * dy;
      add(row, value - light * print, 1);
    }
    // Edges sharper than a pixel tell no blur: this keeps it somewhere, and weighs next to nothing where they do.
    row.fill(0);
    row[3] = 1;
    add(row, USUAL_BLUR - p[3], (0.01 * spread) ** 2);
  }, { maxIterations: 30, tolerance: 1e-7, damping: 1e-3 });
  const p = result.parameters;
  if (!result.covariance || !(result.cost < (1 - LEAST_EXPLAINED) * total) || !(p[5] < 0)) return { ok: false, reason: "is not seen there" };
  if (Math.hypot(p[0], p[1]) * local.scale > 0.6 * radius || blurOf(p[3]) > 0.4 * radius) return { ok: false, reason: "is too blurred or lies elsewhere" };
  return { ok: true, at: local.toPicture(side * p[0], p[1]) };
}

interface Pixel {
  /** From the corner in the plane, mm, turned so that the upper right quarter is dark. */
  readonly u: number;
  readonly v: number;
  /** From the corner in the picture, a share of the window. */
  readonly dx: number;
  readonly dy: number;
  readonly value: number;
}

function window(sampler: Sampler, local: LocalMap, radius: number, side: 1 | -1, [x0, y0, x1, y1]: readonly number[]): Pixel[] {
  const pixels: Pixel[] = [];
  const uv = new Float64Array(2);
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      const [dx, dy] = [x - local.at.x, y - local.at.y];
      if (dx * dx + dy * dy > radius * radius) continue;
      local.toPrint(dx, dy, uv);
      pixels.push({ u: side * uv[0], v: uv[1], dx: dx / radius, dy: dy / radius, value: sampler.at(x, y) });
    }
  }
  return pixels;
}

/**
 * Ink of the quarters at the upper right and lower left, each grown by `gain` mm, blurred by sx and sy, into `out`: value and derivatives by u, v and gain.
 * Where both have grown over each other is counted twice: a square of the gain's side, far below a pixel.
 */
function quarters(u: number, v: number, gain: number, sx: number, sy: number, out: Float64Array): void {
  const [a, b, c, d] = [(u + gain) / sx, (v + gain) / sy, (gain - u) / sx, (gain - v) / sy];
  const [ia, ib, ic, id] = [integral(a), integral(b), integral(c), integral(d)];
  const [da, db, dc, dd] = [density(a) / sx, density(b) / sy, density(c) / sx, density(d) / sy];
  out[0] = ia * ib + ic * id;
  out[1] = da * ib - dc * id;
  out[2] = ia * db - ic * dd;
  out[3] = da * ib + ia * db + dc * id + ic * dd;
}
