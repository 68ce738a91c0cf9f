import type { Outline } from "../import/outline.ts";

/** A vertex of a polyline; `bulge` is the tangent of a quarter of the angle of the arc that leaves it, counter-clockwise positive, 0 for a straight edge. */
export interface Vertex {
  readonly x: number;
  readonly y: number;
  readonly bulge: number;
}

type Point = readonly [number, number];

/** Largest distance of an arc from the curve that it stands for, mm. */
const NEAR = 0.0002;
const DEEPEST = 18;

/** An outline as a polyline of straight edges and arcs, within 0.0002 mm: curves are halved until one arc through their ends and middle does. */
export function arcsOf(o: Outline): Vertex[] {
  const vertices: Vertex[] = [];
  let from: Point = [o.x, o.y];
  for (const e of o.edges) {
    if (e.length === 2) vertices.push({ x: from[0], y: from[1], bulge: 0 });
    else addCurve([from, [e[0], e[1]], [e[2], e[3]], [e[4], e[5]]], 0, vertices);
    from = [e[e.length - 2], e[e.length - 1]];
  }
  const shut = Math.abs(from[0] - o.x) < 1e-9 && Math.abs(from[1] - o.y) < 1e-9;
  return o.closed && shut ? vertices : [...vertices, { x: from[0], y: from[1], bulge: 0 }];
}

type Cubic = readonly [Point, Point, Point, Point];

function addCurve(c: Cubic, depth: number, out: Vertex[]): void {
  const bulge = arcThrough(c);
  if (bulge !== null || depth >= DEEPEST) {
    out.push({ x: c[0][0], y: c[0][1], bulge: bulge ?? 0 });
    return;
  }
  const [left, right] = halves(c);
  addCurve(left, depth + 1, out);
  addCurve(right, depth + 1, out);
}

/** The bulge of the arc through a curve's start, middle and end, where it stays near the whole curve; else null. */
function arcThrough(c: Cubic): number | null {
  const [a, m, b] = [c[0], at(c, 0.5), c[3]];
  const [ux, uy, vx, vy] = [m[0] - a[0], m[1] - a[1], b[0] - m[0], b[1] - m[1]];
  // The turn at the middle is half of the arc's angle (inscribed angle).
  const turn = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  if (!(Math.abs(turn) < Math.PI / 2)) return Math.hypot(b[0] - a[0], b[1] - a[1]) < NEAR && Math.hypot(ux, uy) < NEAR ? 0 : null;
  const chord = Math.hypot(b[0] - a[0], b[1] - a[1]);
  if (chord === 0) return 0;
  const [tx, ty] = [(b[0] - a[0]) / chord, (b[1] - a[1]) / chord];
  const straight = Math.abs(turn) < 1e-9;
  // The centre lies left of the chord for a counter-clockwise arc.
  const r = straight ? Infinity : chord / (2 * Math.sin(turn));
  const h = straight ? 0 : r * Math.cos(turn);
  const centre: Point = [(a[0] + b[0]) / 2 - ty * h, (a[1] + b[1]) / 2 + tx * h];
  for (let i = 1; i < 16; i++) {
    const p = at(c, i / 16);
    const off = straight ? tx * (p[1] - a[1]) - ty * (p[0] - a[0]) : Math.hypot(p[0] - centre[0], p[1] - centre[1]) - Math.abs(r);
    const along = tx * (p[0] - a[0]) + ty * (p[1] - a[1]);
    // A curve that runs back past its ends is no arc.
    if (!(Math.abs(off) < NEAR) || along < -chord || along > 2 * chord) return null;
  }
  return Math.tan(turn / 2);
}

function at([p, q, r, s]: Cubic, t: number): Point {
  const u = 1 - t;
  const [a, b, c, d] = [u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t];
  return [a * p[0] + b * q[0] + c * r[0] + d * s[0], a * p[1] + b * q[1] + c * r[1] + d * s[1]];
}

function halves([p, q, r, s]: Cubic): [Cubic, Cubic] {
  const mid = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const [pq, qr, rs] = [mid(p, q), mid(q, r), mid(r, s)];
  const [pqr, qrs] = [mid(pq, qr), mid(qr, rs)];
  const m = mid(pqr, qrs);
  return [[p, pq, pqr, m], [m, qrs, rs, s]];
}
