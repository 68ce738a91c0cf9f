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
