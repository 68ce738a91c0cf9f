import type { PicturePoint } from "../../../core/geometry/frames.ts";
import type { Vision } from "../../../core/image/vision.ts";
import type { Drawn } from "./centringDrawing.ts";

/** Grey values of a square window, linear light, and where the mark is expected. */
export interface Window {
  readonly side: number;
  readonly light: Float64Array;
  readonly expected: PicturePoint;
}

/** Grey centroid: darkness against the board (median of the window's rim) summed over a disc about the expected place that holds the mark. */
export function greyCentroid({ side, light, expected }: Window, { diameter, blur }: Drawn): PicturePoint {
  const rim: number[] = [];
  for (let i = 0; i < side; i++) rim.push(light[i], light[(side - 1) * side + i], light[i * side], light[i * side + side - 1]);
  const board = rim.sort((a, b) => a - b)[rim.length >> 1];
  const radius = diameter / 2 + 3 * blur + 2;
  let [sum, sx, sy] = [0, 0, 0];
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      if (Math.hypot(x - expected.x, y - expected.y) > radius) continue;
      const ink = board - light[y * side + x];
      sum += ink;
      sx += ink * x;
      sy += ink * y;
    }
  }
  return { x: sx / sum, y: sy / sum };
}

/** OpenCV's fitEllipse on the largest contour of the window after Otsu's threshold. */
export function ellipseCentre(vision: Vision, { side, light }: Window): PicturePoint | null {
  const found = vision.largestEllipse({ width: side, height: side, data: Uint8Array.from(light, (v) => Math.round(255 * Math.min(1, Math.max(0, v)))) }, "dark");
  return found.ok ? found.at : null;
}

/** Steps of the corner search at the most, and the move, px, that ends it. */
const CORNER_STEPS = 40;
const CORNER_SETTLED = 1e-4;

/**
 * What OpenCV's cornerSubPix does, which the pinned build lacks: the point q to which all grey-value gradients g(p) about it are at right angles, sum w g g' (q - p) = 0, with a Gaussian
 * w over a window of a quarter of the mark's extent to each side, repeated about the point found (Foerstner and Guelch 1987; the formula from memory, the code our own). Null where it runs away, and for
 * marks that have no corner in their middle.
 */
export function gradientCorner({ side, light, expected }: Window, { shape, diameter }: Drawn): PicturePoint | null {
  if (shape !== "checker" && shape !== "cross") return null;
  const half = Math.max(3, Math.round(diameter / 4));
  const at = (x: number, y: number): number => {
    const [x0, y0] = [Math.floor(x), Math.floor(y)];
    const [fx, fy] = [x - x0, y - y0];
    const k = y0 * side + x0;
    return (light[k] * (1 - fx) + light[k + 1] * fx) * (1 - fy) + (light[k + side] * (1 - fx) + light[k + side + 1] * fx) * fy;
  };
  let q = { x: expected.x, y: expected.y };
  for (let step = 0; step < CORNER_STEPS; step++) {
    let [a, b, c, u, v] = [0, 0, 0, 0, 0];
    for (let j = -half; j <= half; j++) {
      for (let i = -half; i <= half; i++) {
        const [x, y] = [q.x + i, q.y + j];
        if (x < 1 || y < 1 || x > side - 3 || y > side - 3) return null;
        const [gx, gy] = [at(x + 1, y) - at(x - 1, y), at(x, y + 1) - at(x, y - 1)];
        const w = Math.exp(-(i * i + j * j) / (half * half));
        a += w * gx * gx;
        b += w * gx * gy;
        c += w * gy * gy;
        u += w * gx * (gx * i + gy * j);
        v += w * gy * (gx * i + gy * j);
      }
    }
    const det = a * c - b * b;
    if (!(det > 0)) return null;
    const [dx, dy] = [(c * u - b * v) / det, (a * v - b * u) / det];
    q = { x: q.x + dx, y: q.y + dy };
    if (Math.hypot(q.x - expected.x, q.y - expected.y) > half) return null;
    if (Math.hypot(dx, dy) < CORNER_SETTLED) break;
  }
  return q;
}
