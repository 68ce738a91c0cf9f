import type { Outline } from "./outline.ts";

type Point = readonly [number, number];

/** What a spline drawn by fit points alone says. */
export interface FitSpline {
  readonly points: readonly Point[];
  /** Directions at the first and the last point, where the file gives both. */
  readonly tangents: readonly [Point, Point] | null;
  readonly closed: boolean;
}

/**
 * The cubic spline through fit points, as cubic edges: continuous to its second derivative, its parameter the length of the chords, its ends running along their tangents
 * at the parameter's own speed (de Boor, A Practical Guide to Splines, chapter IV; from memory). That CAD programs draw such splines so is second-hand, from the documentation
 * of an open DXF library, whose reading the tests compare. Where the file gives no tangents an end runs along the parabola through its three points, taken as evenly
 * spaced. Null where fewer than two different points are given.
 */
export function fitSplineOutline({ points: given, tangents, closed }: FitSpline): Outline | null {
  const ring = closed && given.length > 2 ? [...given, given[0]] : given;
  const points = ring.filter(([x, y], i) => i === 0 || Math.hypot(x - ring[i - 1][0], y - ring[i - 1][1]) > SAME);
  if (points.length < 2) return null;
  const chords = points.slice(1).map(([x, y], i) => Math.hypot(x - points[i][0], y - points[i][1]));
  const told = tangents?.every((t) => Math.hypot(...t) > 0) ? tangents : null;
  const [first, last] = told ?? [endTangent(points), reversed(endTangent(points.slice(-3).reverse()))];
  const slopes = slopesOf(points, chords, unit(first), unit(last));
  const edges = chords.map((h, i) => {
    const [[x0, y0], [x1, y1]] = [points[i], points[i + 1]];
    const [[u0, v0], [u1, v1]] = [slopes[i], slopes[i + 1]];
    return [x0 + (h * u0) / 3, y0 + (h * v0) / 3, x1 - (h * u1) / 3, y1 - (h * v1) / 3, x1, y1];
  });
  const [[x, y], [ex, ey]] = [points[0], points[points.length - 1]];
  return { x, y, edges, closed: Math.hypot(ex - x, ey - y) < SAME };
}

/** Points nearer than this are one, in drawing units. */
const SAME = 1e-9;

/** Direction at the first point: along the parabola through three evenly spaced points, 3 (p1 - p0) - (p2 - p1); along the chord where there are but two. */
function endTangent([a, b, c]: readonly Point[]): Point {
  if (c === undefined) return [b[0] - a[0], b[1] - a[1]];
  const along: Point = [3 * (b[0] - a[0]) - (c[0] - b[0]), 3 * (b[1] - a[1]) - (c[1] - b[1])];
  return Math.hypot(...along) > SAME ? along : [b[0] - a[0], b[1] - a[1]];
}

function reversed([x, y]: Point): Point {
  return [-x, -y];
}

function unit([x, y]: Point): Point {
  const length = Math.hypot(x, y);
  return [x / length, y / length];
}

/** Derivatives at the points by the parameter, the first and the last given: h1 m0 + 2 (h0 + h1) m1 + h0 m2 = 3 (h1 s0 + h0 s1), s the chords' slopes. */
function slopesOf(points: readonly Point[], chords: readonly number[], first: Point, last: Point): Point[] {
  const n = points.length;
  const slopes: [number, number][] = points.map(() => [0, 0]);
  [slopes[0], slopes[n - 1]] = [[...first], [...last]];
  const above = new Float64Array(n);
  for (let i = 1; i < n - 1; i++) {
    const [h0, h1] = [chords[i - 1], chords[i]];
    const pivot = 2 * (h0 + h1) - h1 * above[i - 1];
    above[i] = h0 / pivot;
    for (const k of [0, 1] as const) {
      const right = 3 * ((h1 * (points[i][k] - points[i - 1][k])) / h0 + (h0 * (points[i + 1][k] - points[i][k])) / h1);
      slopes[i][k] = (right - h1 * slopes[i - 1][k]) / pivot;
    }
  }
  for (let i = n - 2; i > 0; i--) for (const k of [0, 1] as const) slopes[i][k] -= above[i] * slopes[i + 1][k];
  return slopes;
}
