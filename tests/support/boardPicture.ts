import type { BoardTarget } from "../../core/camera/target/target.ts";
import { squaresOf } from "../../core/camera/target/board.ts";
import { toPrint, type View } from "../../core/camera/view.ts";
import { integral } from "../../core/image/normal.ts";
import type { Picture } from "../../core/image/picture.ts";
import type { Vision } from "../../core/image/vision.ts";
import { gaussian } from "./gaussian.ts";

/** Spacing, px, of the places at which the plane is worked out exactly; between them it is interpolated. */
const STEP = 2;
/** Four looks around each pixel, in units of their spread, over a pattern that is itself blurred: symmetric, so they move nothing. */
const LOOKS = [[Math.SQRT2, 0], [-Math.SQRT2, 0], [0, Math.SQRT2], [0, -Math.SQRT2]] as const;

/** Ink from 0 to 1 at a point of the board, mm, blurred by sx and sy mm. */
export type Pattern = (x: number, y: number, sx: number, sy: number) => number;

/** A board's print: dark squares, and markers in the light ones. Drawn square by square, without the code that looks for them. */
export function boardPattern(target: BoardTarget, vision: Vision): Pattern {
  const { columns, rows, square, marker } = target;
  const squares = squaresOf(target);
  const cells = squares.map((s) => (s.marker === null ? null : vision.markerCells(target.dictionary, s.marker)));
  const strip = (t: number, from: number, to: number, sigma: number) => integral((t - from) / sigma) - integral((t - to) / sigma);
  return (x, y, sx, sy) => {
    let ink = 0;
    const near = (t: number, sigma: number, n: number) => [Math.max(0, Math.floor((t - 5 * sigma) / square)), Math.min(n - 1, Math.floor((t + 5 * sigma) / square))];
    const [[left, right], [low, high]] = [near(x, sx, columns), near(y, sy, rows)];
    for (let r = low; r <= high; r++) for (let c = left; c <= right; c++) {
      const i = (rows - 1 - r) * columns + c;
      const bits = cells[i];
      if (!bits) ink += strip(x, c * square, (c + 1) * square, sx) * strip(y, r * square, (r + 1) * square, sy);
      else ink += markerInk(bits, x - c * square - (square - marker) / 2, y - r * square - (square - marker) / 2, marker, sx, sy, strip);
    }
    return ink;
  };
}

function markerInk(
  bits: readonly (readonly (0 | 1)[])[], x: number, y: number, side: number, sx: number, sy: number, strip: (t: number, from: number, to: number, sigma: number) => number,
): number {
  const n = bits.length;
  const cell = side / n;
  if (x < -5 * sx || y < -5 * sy || x > side + 5 * sx || y > side + 5 * sy) return 0;
  const reach = (sigma: number) => Math.ceil((4 * sigma) / cell);
  const [cx, cy, rx, ry] = [Math.floor(x / cell), Math.floor(y / cell), reach(sx), reach(sy)];
  let ink = 0;
  for (let r = Math.max(0, cy - ry); r <= Math.min(n - 1, cy + ry); r++) {
    const down = strip(y, r * cell, (r + 1) * cell, sy);
    for (let c = Math.max(0, cx - rx); c <= Math.min(n - 1, cx + rx); c++) if (bits[n - 1 - r][c] === 1) ink += down * strip(x, c * cell, (c + 1) * cell, sx);
  }
  return ink;
}

/** Draws a pattern as `view` shows it: blurred by about `blur` px, on linear light that falls off by `slope` to the right, with noise. */
export function drawPattern(pattern: Pattern, view: View, width: number, height: number, { blur = 0.8, noise = 0.01, seed = 1, slope = 0.2 } = {}): Picture {
  const columns = Math.ceil(width / STEP) + 2;
  const rows = Math.ceil(height / STEP) + 2;
  const grid = Array.from({ length: columns * rows }, (_, k) => toPrint(view, { x: ((k % columns) - 1) * STEP, y: (Math.floor(k / columns) - 1) * STEP }));
  const [spread, own] = [0.5 * blur, Math.sqrt(0.75) * blur];
  const random = gaussian(seed);
  const data = new Uint8Array(width * height);
  for (let py = 0; py < height; py++) for (let px = 0; px < width; px++) {
    const k = (Math.floor(py / STEP) + 1) * columns + Math.floor(px / STEP) + 1;
    const [p, q, r] = [grid[k], grid[k + 1], grid[k + columns]];
    let light = 0.05;
    if (p && q && r) {
      const [ax, ay, bx, by] = [(q.x - p.x) / STEP, (q.y - p.y) / STEP, (r.x - p.x) / STEP, (r.y - p.y) / STEP];
      const [sx, sy] = [own * Math.hypot(ax, bx), own * Math.hypot(ay, by)];
      const s = grid[k + columns + 1] ?? { x: q.x + r.x - p.x, y: q.y + r.y - p.y };
      const [fx, fy] = [(px % STEP) / STEP, (py % STEP) / STEP];
      const x = (1 - fy) * ((1 - fx) * p.x + fx * q.x) + fy * ((1 - fx) * r.x + fx * s.x);
      const y = (1 - fy) * ((1 - fx) * p.y + fx * q.y) + fy * ((1 - fx) * r.y + fx * s.y);
      let ink = 0;
      for (const [i, j] of LOOKS) ink += 0.25 * pattern(x + spread * (ax * i + bx * j), y + spread * (ay * i + by * j), sx, sy);
      light = (0.8 - 0.72 * ink) * (1 - (slope * px) / width);
    }
    data[py * width + px] = Math.round(255 * coded(Math.min(1, Math.max(0, light + noise * random()))));
  }
  return { width, height, channels: 1, data, transfer: "srgb" };
}

/** IEC 61966-2-1. */
function coded(v: number): number {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}
