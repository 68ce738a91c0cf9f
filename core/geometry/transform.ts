import type { Frame, Point } from "./frames.ts";

declare const from: unique symbol;
declare const to: unique symbol;

/**
 * A plane projective map from frame `From` to frame `To`: (x, y, 1) times the row-major 3x3 matrix `m`, then divided by
 * the third term. Affine maps have the last row 0 0 1. The frames are phantom types: they cost nothing at run time.
 */
export interface Transform<From extends Frame, To extends Frame> {
  readonly m: readonly number[];
  readonly [from]?: From;
  readonly [to]?: To;
}

/** x' = a x + b y + c, y' = d x + e y + f. */
export function affine<From extends Frame, To extends Frame>(
  a: number, b: number, c: number, d: number, e: number, f: number,
): Transform<From, To> {
  return { m: [a, b, c, d, e, f, 0, 0, 1] };
}

/** The point that (x, y) is carried to. Points on the line that goes to infinity give infinite coordinates. */
export function apply<From extends Frame, To extends Frame>(t: Transform<From, To>, x: number, y: number): Point<To> {
  const m = t.m;
  const w = m[6] * x + m[7] * y + m[8];
  return { x: (m[0] * x + m[1] * y + m[2]) / w, y: (m[3] * x + m[4] * y + m[5]) / w };
}

/**
 * The third term at (x, y). It changes its sign across the line that goes to infinity: points with the sign of the sheet's
 * own points are in front of the camera.
 */
export function depth(t: Transform<Frame, Frame>, x: number, y: number): number {
  return t.m[6] * x + t.m[7] * y + t.m[8];
}

/** First `inner`, then `outer`. */
export function compose<A extends Frame, B extends Frame, C extends Frame>(
  outer: Transform<B, C>, inner: Transform<A, B>,
): Transform<A, C> {
  const p = outer.m;
  const q = inner.m;
  const m = new Array<number>(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) m[3 * i + j] = p[3 * i] * q[j] + p[3 * i + 1] * q[3 + j] + p[3 * i + 2] * q[6 + j];
  }
  return { m };
}

/** The map back (by cofactors, scaled so that the last element is 1 where it can be), or null where the map is not one to one. */
export function invert<From extends Frame, To extends Frame>(t: Transform<From, To>): Transform<To, From> | null {
  const known = inverses.get(t);
  if (known !== undefined) return known as Transform<To, From> | null;
  const inverse = findInverse(t);
  inverses.set(t, inverse);
  return inverse;
}

/** Inverses found already: a map is carried back through point by point. */
const inverses = new WeakMap<Transform<Frame, Frame>, Transform<Frame, Frame> | null>();

function findInverse<From extends Frame, To extends Frame>(t: Transform<From, To>): Transform<To, From> | null {
  const [a, b, c, d, e, f, g, h, i] = t.m;
  const inverse = [
    e * i - f * h, c * h - b * i, b * f - c * e,
    f * g - d * i, a * i - c * g, c * d - a * f,
    d * h - e * g, b * g - a * h, a * e - b * d,
  ];
  const determinant = a * inverse[0] + b * inverse[3] + c * inverse[6];
  const size = Math.abs(a * inverse[0]) + Math.abs(b * inverse[3]) + Math.abs(c * inverse[6]);
  if (!(Math.abs(determinant) > 1e-14 * size)) return null;
  return { m: normalised(inverse, determinant) };
}

/** A matrix scaled so that its last element is 1, or, where that element is (nearly) zero, divided by `fallback`. */
function normalised(m: readonly number[], fallback: number): number[] {
  const largest = Math.max(...m.map(Math.abs));
  const divisor = Math.abs(m[8]) > 1e-12 * largest ? m[8] : fallback;
  return m.map((v) => v / divisor);
}

/** The derivative at (x, y) as [a, b, c, d], read [[dx'/dx, dx'/dy], [dy'/dx, dy'/dy]]. */
export function derivativeAt(t: Transform<Frame, Frame>, x: number, y: number): [number, number, number, number] {
  const m = t.m;
  const w = m[6] * x + m[7] * y + m[8];
  const u = (m[0] * x + m[1] * y + m[2]) / w;
  const v = (m[3] * x + m[4] * y + m[5]) / w;
  return [(m[0] - u * m[6]) / w, (m[1] - u * m[7]) / w, (m[3] - v * m[6]) / w, (m[4] - v * m[7]) / w];
}
