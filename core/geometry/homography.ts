import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import type { Frame, Point } from "./frames.ts";
import type { Transform } from "./transform.ts";

/** A point in one frame and the same point in another. */
export interface Pair<From extends Frame, To extends Frame> {
  readonly from: Point<From>;
  readonly to: Point<To>;
  /** 1/variance of `to` up to a common factor, for both coordinates or for each (default 1). */
  readonly weight?: number | { readonly x: number; readonly y: number };
}

/**
 * The projective map by direct linear transformation from four or more pairs, on points that are centred and scaled to a
 * mean distance of sqrt 2 (Hartley & Zisserman, Multiple View Geometry, alg. 4.2). It minimises an algebraic error: a
 * start for a geometric fit, not an estimate. Null where the points do not fix it (three of four on a line, coincident).
 */
export function homographyFrom<From extends Frame, To extends Frame>(
  pairs: readonly Pair<From, To>[],
): Transform<From, To> | null {
  if (pairs.length < 4) return null;
  if (pairs.length === 4) return homographyFromFour(pairs);
  const source = normalisation(pairs.map((p) => p.from));
  const target = normalisation(pairs.map((p) => p.to));
  if (!source || !target) return null;
  const normal = Matrix.zeros(9, 9);
  for (const pair of pairs) {
    const x = (pair.from.x - source.x) * source.scale;
    const y = (pair.from.y - source.y) * source.scale;
    const u = (pair.to.x - target.x) * target.scale;
    const v = (pair.to.y - target.y) * target.scale;
    const [wx, wy] = weights(pair);
    addOuter(normal, [x, y, 1, 0, 0, 0, -u * x, -u * y, -u], wx);
    addOuter(normal, [0, 0, 0, x, y, 1, -v * x, -v * y, -v], wy);
  }
  // The eigenvector of the smallest eigenvalue; squaring the condition is harmless after normalisation.
  const eigen = new EigenvalueDecomposition(normal, { assumeSymmetric: true });
  const values = eigen.realEigenvalues;
  const order = [...values.keys()].sort((i, j) => values[i] - values[j]);
  if (!(values[order[1]] > 1e-12 * values[order[8]])) return null;
  const h = eigen.eigenvectorMatrix.getColumn(order[0]);
  return denormalise(h, source, target);
}

/**
 * The projective map through exactly four pairs, in closed form by way of the unit square (Heckbert 1989): no
 * iteration and no matrix library, for testing many hypotheses. Null where three of the points lie on a line.
 */
export function homographyFromFour<From extends Frame, To extends Frame>(
  pairs: readonly Pair<From, To>[],
): Transform<From, To> | null {
  const [a, b, c, d] = pairs;
  const source = squareToQuad(a.from, b.from, c.from, d.from);
  const target = squareToQuad(a.to, b.to, c.to, d.to);
  if (!source || !target) return null;
  const back = adjugate(source);
  const m = new Array<number>(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      m[3 * i + j] = target[3 * i] * back[j] + target[3 * i + 1] * back[3 + j] + target[3 * i + 2] * back[6 + j];
    }
  }
  return scaledToOne(m);
}

/** Weights of the two coordinates of a pair. */
export function weights(pair: Pair<Frame, Frame>): readonly [number, number] {
  const w = pair.weight ?? 1;
  return typeof w === "number" ? [w, w] : [w.x, w.y];
}

/** The map of the unit square (0,0) (1,0) (1,1) (0,1) to p, q, r, s; null where three of them are nearly on a line. */
function squareToQuad(p: Point<Frame>, q: Point<Frame>, r: Point<Frame>, s: Point<Frame>): number[] | null {
  const size2 = Math.max(distance2(p, r), distance2(q, s));
  const areas = [area(p, q, r), area(q, r, s), area(r, s, p), area(s, p, q)];
  if (!(size2 > 0) || !areas.every((v) => Math.abs(v) > 1e-9 * size2)) return null;
  const sx = p.x - q.x + r.x - s.x;
  const sy = p.y - q.y + r.y - s.y;
  const dx1 = q.x - r.x;
  const dx2 = s.x - r.x;
  const dy1 = q.y - r.y;
  const dy2 = s.y - r.y;
  const det = dx1 * dy2 - dx2 * dy1;
  const g = (sx * dy2 - dx2 * sy) / det;
  const h = (dx1 * sy - sx * dy1) / det;
  return [q.x - p.x + g * q.x, s.x - p.x + h * s.x, p.x, q.y - p.y + g * q.y, s.y - p.y + h * s.y, p.y, g, h, 1];
}

function area(a: Point<Frame>, b: Point<Frame>, c: Point<Frame>): number {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

function distance2(a: Point<Frame>, b: Point<Frame>): number {
  return (a.x - b.x) ** 2 + (a.y - b.y) ** 2;
}

function adjugate(m: readonly number[]): number[] {
  const [a, b, c, d, e, f, g, h, i] = m;
  return [
    e * i - f * h, c * h - b * i, b * f - c * e,
    f * g - d * i, a * i - c * g, c * d - a * f,
    d * h - e * g, b * g - a * h, a * e - b * d,
  ];
}

interface Normalisation {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

function normalisation(points: readonly Point<Frame>[]): Normalisation | null {
  const x = points.reduce((s, p) => s + p.x, 0) / points.length;
  const y = points.reduce((s, p) => s + p.y, 0) / points.length;
  const mean = points.reduce((s, p) => s + Math.hypot(p.x - x, p.y - y), 0) / points.length;
  return mean > 0 && Number.isFinite(mean) ? { x, y, scale: Math.SQRT2 / mean } : null;
}

function addOuter(matrix: Matrix, row: readonly number[], weight: number): void {
  for (let i = 0; i < row.length; i++) {
    for (let j = 0; j < row.length; j++) matrix.set(i, j, matrix.get(i, j) + weight * row[i] * row[j]);
  }
}

function denormalise<From extends Frame, To extends Frame>(
  h: readonly number[], source: Normalisation, target: Normalisation,
): Transform<From, To> | null {
  const m = new Array<number>(9);
  for (let i = 0; i < 3; i++) {
    const [a, b, c] = h.slice(3 * i, 3 * i + 3);
    m[3 * i] = a * source.scale;
    m[3 * i + 1] = b * source.scale;
    m[3 * i + 2] = c - source.scale * (a * source.x + b * source.y);
  }
  for (let j = 0; j < 3; j++) {
    m[j] = m[j] / target.scale + target.x * m[6 + j];
    m[3 + j] = m[3 + j] / target.scale + target.y * m[6 + j];
  }
  return scaledToOne(m);
}

function scaledToOne<From extends Frame, To extends Frame>(m: number[]): Transform<From, To> | null {
  const last = m[8];
  if (!m.every(Number.isFinite) || last === 0) return null;
  return { m: m.map((v) => v / last) };
}
