/**
 * B-splines, rational ones too, as cubic edges. Each knot span is replaced by the cubic that has its end points and end
 * derivatives (exact for a plain cubic span), halved until it lies within tolerance.
 * Evaluation: de Boor's algorithm in homogeneous coordinates (Piegl and Tiller, The NURBS Book, A4.1 and A4.2; from memory).
 */
export interface Nurbs {
  readonly degree: number;
  readonly knots: readonly number[];
  /** Control points [x, y]. */
  readonly points: ReadonlyArray<readonly [number, number]>;
  readonly weights: readonly number[];
}

/** What is wrong with a spline's own data; null where nothing is. */
export function nurbsFault({ degree, knots, points, weights }: Nurbs): string | null {
  if (!(Number.isInteger(degree) && degree >= 1 && degree <= 10)) return "a degree that is not between 1 and 10";
  if (points.length <= degree) return "too few control points";
  if (knots.length !== points.length + degree + 1) return "a knot count that does not fit";
  if (knots.some((k, i) => !Number.isFinite(k) || (i > 0 && k < knots[i - 1]))) return "knots that do not ascend";
  if (weights.length !== points.length || weights.some((w) => !(w > 0 && Number.isFinite(w)))) return "weights that are not positive";
  return null;
}

/** The spline's start and its edges. */
export function nurbsEdges(curve: Nurbs, tolerance = 0.0005): { x: number; y: number; edges: number[][] } {
  const { degree, knots, points } = curve;
  const edges: number[][] = [];
  let start: readonly number[] | null = null;
  for (let k = degree; k < points.length; k++) {
    if (!(knots[k + 1] > knots[k])) continue;
    start ??= at(curve, k, knots[k]);
    span(curve, k, knots[k], knots[k + 1], tolerance, 0, edges);
  }
  return { x: start?.[0] ?? points[0][0], y: start?.[1] ?? points[0][1], edges };
}

function span(curve: Nurbs, k: number, u0: number, u1: number, tolerance: number, depth: number, edges: number[][]): void {
  const [x0, y0, dx0, dy0] = at(curve, k, u0);
  const [x3, y3, dx3, dy3] = at(curve, k, u1);
  const h = (u1 - u0) / 3;
  const edge = [x0 + h * dx0, y0 + h * dy0, x3 - h * dx3, y3 - h * dy3, x3, y3];
  const off = [0.25, 0.5, 0.75].some((t) => {
    const [x, y] = at(curve, k, u0 + t * (u1 - u0));
    const s = 1 - t;
    const b = (i: number, from: number) => s * s * s * from + 3 * s * s * t * edge[i] + 3 * s * t * t * edge[i + 2] + t * t * t * edge[i + 4];
    return Math.hypot(b(0, x0) - x, b(1, y0) - y) > tolerance;
  });
  if (off && depth < 12) {
    const middle = (u0 + u1) / 2;
    span(curve, k, u0, middle, tolerance, depth + 1, edges);
    span(curve, k, middle, u1, tolerance, depth + 1, edges);
  } else {
    edges.push(curve.degree === 1 ? [x3, y3] : edge);
  }
}

/** Point and first derivative [x, y, dx, dy] at u, taken from knot span k. */
function at({ degree: p, knots, points, weights }: Nurbs, k: number, u: number): readonly [number, number, number, number] {
  let d = Array.from({ length: p + 1 }, (_, j) => {
    const i = j + k - p;
    return [points[i][0] * weights[i], points[i][1] * weights[i], weights[i]];
  });
  for (let r = 1; r < p; r++) d = round(d, r, p, knots, k, u);
  // After p - 1 rounds two points are left: their difference gives the derivative, their mix the point.
  const [a, b] = d;
  const width = knots[k + 1] - knots[k];
  const t = (u - knots[k]) / width;
  const m = a.map((v, i) => v + t * (b[i] - v));
  const g = a.map((v, i) => (p * (b[i] - v)) / width);
  const x = m[0] / m[2];
  const y = m[1] / m[2];
  return [x, y, (g[0] - g[2] * x) / m[2], (g[1] - g[2] * y) / m[2]];
}

function round(d: number[][], r: number, p: number, knots: readonly number[], k: number, u: number): number[][] {
  return d.slice(1).map((next, j) => {
    const i = j + r + k - p;
    const t = (u - knots[i]) / (knots[i + p - r + 1] - knots[i]);
    return d[j].map((v, c) => v + t * (next[c] - v));
  });
}
