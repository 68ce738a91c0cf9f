import { cubicTo, lineTo, startTrace } from "../flatten.ts";
import { subpathOf, type Subpath } from "../paths.ts";

/**
 * A connected run of straight edges and cubic curves, mm, y up. An edge is [x, y] or [x1, y1, x2, y2, x, y] from where the
 * one before it ended. Everything that drawings hold becomes this: it stays itself under any affine map.
 */
export interface Outline {
  readonly x: number;
  readonly y: number;
  readonly edges: ReadonlyArray<readonly number[]>;
  readonly closed: boolean;
}

/** x' = a x + c y + e, y' = b x + d y + f: the order of SVG's and PDF's matrices. */
export type Matrix = readonly [number, number, number, number, number, number];

export const IDENTITY: Matrix = [1, 0, 0, 1, 0, 0];

/** The map that applies `inner` first, then `outer`. */
export function compose(outer: Matrix, inner: Matrix): Matrix {
  const [a, b, c, d, e, f] = outer;
  const [A, B, C, D, E, F] = inner;
  return [a * A + c * B, b * A + d * B, a * C + c * D, b * C + d * D, a * E + c * F + e, b * E + d * F + f];
}

/** The point (x, y) under an affine map. */
export function apply(m: Matrix, x: number, y: number): [number, number] {
  return [m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]];
}

/** An outline under an affine map: its cubics' control points go along, so that it stays itself. */
export function mapOutline(o: Outline, m: Matrix): Outline {
  const [a, b, c, d, e, f] = m;
  const edges = o.edges.map((edge) => {
    const mapped = edge.slice();
    for (let i = 0; i + 1 < edge.length; i += 2) {
      mapped[i] = a * edge[i] + c * edge[i + 1] + e;
      mapped[i + 1] = b * edge[i] + d * edge[i + 1] + f;
    }
    return mapped;
  });
  return { x: a * o.x + c * o.y + e, y: b * o.x + d * o.y + f, edges, closed: o.closed };
}

/** The same run drawn the other way. */
export function reverseOutline(o: Outline): Outline {
  const edges: number[][] = [];
  for (let i = o.edges.length - 1; i >= 0; i--) {
    const edge = o.edges[i];
    const [x, y] = i > 0 ? o.edges[i - 1].slice(-2) : [o.x, o.y];
    edges.push(edge.length === 2 ? [x, y] : [edge[2], edge[3], edge[0], edge[1], x, y]);
  }
  const [x, y] = endOf(o);
  return { x, y, edges, closed: o.closed };
}

/** Where an outline ends; its start where it has no edges. */
export function endOf(o: Outline): readonly [number, number] {
  const last = o.edges[o.edges.length - 1];
  return last ? [last[last.length - 2], last[last.length - 1]] : [o.x, o.y];
}

/** An arc's cubics span at most this: the approximation then errs by less than 1e-7 of the radius (2.7e-4 for a quarter turn, as the sixth power of the angle). */
const ARC_SPAN = Math.PI / 8;

/**
 * The edges of part of an ellipse c + p cos t + q sin t, from parameter `from` over `sweep`, as cubics with handles of
 * 4/3 tan(step / 4) of the half-axes.
 */
export function ellipseEdges(c: readonly [number, number], p: readonly [number, number], q: readonly [number, number], from: number, sweep: number): number[][] {
  // A sweep that is no number gives one edge of no numbers, which the importers then leave out with a note.
  const n = Math.abs(sweep) < 1e3 ? Math.max(1, Math.ceil(Math.abs(sweep) / ARC_SPAN - 1e-9)) : 1;
  const step = sweep / n;
  const k = (4 / 3) * Math.tan(step / 4);
  const at = (u: number, v: number) => [c[0] + p[0] * u + q[0] * v, c[1] + p[1] * u + q[1] * v];
  return Array.from({ length: n }, (_, i) => {
    const c0 = Math.cos(from + i * step);
    const s0 = Math.sin(from + i * step);
    const c1 = Math.cos(from + (i + 1) * step);
    const s1 = Math.sin(from + (i + 1) * step);
    return [...at(c0 - k * s0, s0 + k * c0), ...at(c1 + k * s1, s1 - k * c1), ...at(c1, s1)];
  });
}

/** A whole circle, from three o'clock counter-clockwise. */
export function circleOutline(x: number, y: number, r: number): Outline {
  return { x: x + r, y, edges: ellipseEdges([x, y], [r, 0], [0, r], 0, 2 * Math.PI), closed: true };
}

/** The outline as chords; null where it has no length. */
export function flattenOutline(o: Outline, tolerance = 0.005): Subpath | null {
  const trace = startTrace(o.x, o.y);
  for (const e of o.edges) {
    if (e.length === 2) lineTo(trace, e[0], e[1]);
    else cubicTo(trace, e[0], e[1], e[2], e[3], e[4], e[5], tolerance);
  }
  return subpathOf(trace, o.closed);
}

/** Whether all points and control points are finite and no coordinate is larger than `farthest`. */
export function isFiniteOutline(o: Outline, farthest: number): boolean {
  if (!(Math.abs(o.x) <= farthest && Math.abs(o.y) <= farthest)) return false;
  for (const e of o.edges) for (const v of e) if (!(Math.abs(v) <= farthest)) return false;
  return true;
}

/** SVG path data in the print frame, to a tenth of a micrometre. */
export function pathData(o: Outline): string {
  const n = (v: number) => String(Math.round(v * 1e4) / 1e4);
  const edges = o.edges.map((e) => `${e.length === 2 ? "L" : "C"}${e.map(n).join(" ")}`);
  return `M${n(o.x)} ${n(o.y)}${edges.join("")}${o.closed ? "Z" : ""}`;
}

/** Corners of the smallest upright rectangle that holds all vertices and handles of outlines: [left, bottom, right, top]. */
export function bounds(outlines: readonly Outline[]): [number, number, number, number] {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  const add = (x: number, y: number) => {
    if (x < box[0]) box[0] = x;
    if (y < box[1]) box[1] = y;
    if (x > box[2]) box[2] = x;
    if (y > box[3]) box[3] = y;
  };
  for (const o of outlines) {
    add(o.x, o.y);
    for (const e of o.edges) for (let i = 0; i < e.length; i += 2) add(e[i], e[i + 1]);
  }
  return box;
}
