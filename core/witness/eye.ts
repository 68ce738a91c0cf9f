import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";

/** Where the camera stands: over (x, y) of the sheet, z above it, mm. */
export interface Eye {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/**
 * The camera's place from the homography (row-major, print mm to picture px), its focal length, px, and the picture's middle: the columns of K^-1 H are the
 * sheet's axes and origin in the camera's frame up to a factor (Zhang 2000). Null where the homography has none.
 */
export function eyeOf(m: readonly number[], focal: number, middle: PicturePoint): Eye | null {
  const column = (i: number): [number, number, number] => [(m[i] - middle.x * m[6 + i]) / focal, (m[3 + i] - middle.y * m[6 + i]) / focal, m[6 + i]];
  const [a, b, c] = [column(0), column(1), column(2)];
  const factor = Math.sqrt(Math.hypot(...a) * Math.hypot(...b));
  if (!(factor > 0)) return null;
  const dot = (p: readonly number[], q: readonly number[]) => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
  const normal = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const [x, y] = [-dot(a, c) / factor ** 2, -dot(b, c) / factor ** 2];
  const z = Math.abs(dot(normal, c)) / factor ** 3;
  return [x, y, z].every(Number.isFinite) && z > 0 ? { x, y, z } : null;
}

/** How far the board's back lies from its face as seen from the eye at a place of the sheet, mm: towards the camera, by the thickness times the tangent of the angle. */
export function backSeenFrom(eye: Eye, thickness: number): (place: PrintPoint) => { readonly x: number; readonly y: number } {
  return ({ x, y }) => ({ x: (thickness * (eye.x - x)) / eye.z, y: (thickness * (eye.y - y)) / eye.z });
}
