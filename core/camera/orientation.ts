import type { PicturePoint } from "../geometry/frames.ts";
import type { Lens } from "./lens.ts";

/** Signed permutation [a, b, c, d] from sensor to shown picture for EXIF orientations 1 to 8 (Exif 2.32, tag 0x0112). */
const TURNS: readonly (readonly [number, number, number, number])[] = [
  [1, 0, 0, 1], [-1, 0, 0, 1], [-1, 0, 0, -1], [1, 0, 0, -1], [0, 1, 1, 0], [0, -1, 1, 0], [0, -1, -1, 0], [0, 1, -1, 0],
];

/** Whether the orientation swaps width and height. */
export function isTurnedSideways(orientation: number): boolean {
  return orientation >= 5;
}

/** Where a point of the sensor's own picture (width x height) lies in the picture as shown. */
export function fromSensor(orientation: number, width: number, height: number, p: PicturePoint): PicturePoint {
  const [a, b, c, d] = TURNS[orientation - 1];
  return {
    x: a * p.x + b * p.y + (a + b < 0 ? (a !== 0 ? width : height) - 1 : 0),
    y: c * p.x + d * p.y + (c + d < 0 ? (d !== 0 ? height : width) - 1 : 0),
  };
}

/** Where a point of the picture as shown lies in the sensor's own picture (width x height of the sensor). */
export function toSensor(orientation: number, width: number, height: number, q: PicturePoint): PicturePoint {
  const [a, b, c, d] = TURNS[orientation - 1];
  const u = q.x - (a + b < 0 ? (a !== 0 ? width : height) - 1 : 0);
  const v = q.y - (c + d < 0 ? (d !== 0 ? height : width) - 1 : 0);
  return { x: a * u + c * v, y: b * u + d * v };
}

/** The lens as the shown picture has it. The decentring vector (p2, p1) turns like a direction. */
export function turnLens(lens: Lens, orientation: number, width: number, height: number): Lens {
  const [a, b, c, d] = TURNS[orientation - 1];
  const centre = fromSensor(orientation, width, height, { x: lens.cx, y: lens.cy });
  const sideways = isTurnedSideways(orientation);
  return {
    ...lens,
    fx: sideways ? lens.fy : lens.fx,
    fy: sideways ? lens.fx : lens.fy,
    cx: centre.x,
    cy: centre.y,
    p2: a * lens.p2 + b * lens.p1,
    p1: c * lens.p2 + d * lens.p1,
  };
}

/** How the covariance of the lens terms (9 x 9, order of LENS_PARAMETERS) changes when the lens is turned: index and sign of each term. */
export function turnCovariance(covariance: readonly (readonly number[])[], orientation: number): number[][] {
  const [a, b, c, d] = TURNS[orientation - 1];
  const sideways = isTurnedSideways(orientation);
  // Order: fx fy cx cy k1 k2 p1 p2 k3; (p2, p1) is the vector that turns.
  const from = sideways ? [1, 0, 3, 2, 4, 5, 7, 6, 8] : [0, 1, 2, 3, 4, 5, 6, 7, 8];
  const sign = [1, 1, a + b, c + d, 1, 1, c + d, a + b, 1];
  return from.map((i, row) => from.map((j, column) => sign[row] * sign[column] * covariance[i][j]));
}
