import type { Frame } from "./frames.ts";
import { homographyFrom, weights } from "./homography.ts";
import type { Pair } from "./homography.ts";
import { linearLeastSquares } from "./leastSquares.ts";
import type { LinearFit, NoFit } from "./leastSquares.ts";
import { levenbergMarquardt } from "./levenbergMarquardt.ts";
import { affine, apply } from "./transform.ts";
import type { Transform } from "./transform.ts";

/** A fitted map between frames. Residuals are in the unit of `To`, as x0, y0, x1, y1, ...; the unit of weight is a coordinate. */
export interface TransformFit<From extends Frame, To extends Frame> extends LinearFit {
  readonly transform: Transform<From, To>;
  /** sqrt(sum of squared distances / n). */
  readonly rms: number;
}

type Fit<From extends Frame, To extends Frame> = TransformFit<From, To> | NoFit;

/**
 * Turn and shift: x' = cos t x - sin t y + tx, y' = sin t x + cos t y + ty; parameters (t, tx, ty), t in radians. With
 * one weight per pair this is the closed form of the orthogonal Procrustes problem, refined for unequal weights.
 */
export function fitRigid<From extends Frame, To extends Frame>(pairs: readonly Pair<From, To>[]): Fit<From, To> {
  const start = fitSimilarity(pairs);
  if (!start.ok) return start;
  const [a, b] = start.parameters;
  const turn = Math.atan2(b, a);
  const { x, y, u, v } = centres(pairs);
  const first = Float64Array.of(turn, u - Math.cos(turn) * x + Math.sin(turn) * y, v - Math.sin(turn) * x - Math.cos(turn) * y);
  const row = new Float64Array(3);
  const fitted = levenbergMarquardt(first, ([t, tx, ty], add) => {
    const c = Math.cos(t);
    const s = Math.sin(t);
    for (const pair of pairs) {
      const [wx, wy] = weights(pair);
      const { x, y } = pair.from;
      row.set([-s * x - c * y, 1, 0]);
      add(row, pair.to.x - (c * x - s * y + tx), wx);
      row.set([c * x - s * y, 0, 1]);
      add(row, pair.to.y - (s * x + c * y + ty), wy);
    }
  });
  if (!fitted.covariance) return { ok: false, reason: fitted.reason ?? "the points do not determine a turn" };
  const [t, tx, ty] = fitted.parameters;
  const transform = affine<From, To>(Math.cos(t), -Math.sin(t), tx, Math.sin(t), Math.cos(t), ty);
  return summary(pairs, transform, fitted.parameters, fitted.covariance);
}

/** Turn, shift and one scale: x' = a x - b y + tx, y' = b x + a y + ty; parameters (a, b, tx, ty). */
export function fitSimilarity<From extends Frame, To extends Frame>(pairs: readonly Pair<From, To>[]): Fit<From, To> {
  const rows = pairs.flatMap(({ from: { x, y } }) => [[x, -y, 1, 0], [y, x, 0, 1]]);
  const fitted = linearLeastSquares(rows, pairs.flatMap((p) => [p.to.x, p.to.y]), pairs.flatMap(weights));
  if (!fitted.ok) return fitted;
  const [a, b, tx, ty] = fitted.parameters;
  return summary(pairs, affine<From, To>(a, -b, tx, b, a, ty), fitted.parameters, fitted.cofactor);
}

/** Six terms: x' = a x + b y + c, y' = d x + e y + f; parameters (a, b, c, d, e, f). */
export function fitAffine<From extends Frame, To extends Frame>(pairs: readonly Pair<From, To>[]): Fit<From, To> {
  const rows = pairs.flatMap(({ from: { x, y } }) => [[x, y, 1, 0, 0, 0], [0, 0, 0, x, y, 1]]);
  const fitted = linearLeastSquares(rows, pairs.flatMap((p) => [p.to.x, p.to.y]), pairs.flatMap(weights));
  if (!fitted.ok) return fitted;
  const [a, b, c, d, e, f] = fitted.parameters;
  return summary(pairs, affine<From, To>(a, b, c, d, e, f), fitted.parameters, fitted.cofactor);
}

/**
 * Eight terms, h33 = 1; parameters (h11, h12, h13, h21, h22, h23, h31, h32). Minimises the geometric error in `To`
 * (weighted distances), from a normalised linear start. The origin of `From` must not map to infinity.
 */
export function fitProjective<From extends Frame, To extends Frame>(pairs: readonly Pair<From, To>[]): Fit<From, To> {
  const start = homographyFrom(pairs);
  if (!start) return { ok: false, reason: "four points or more are needed, no three of the only four on a line" };
  const row = new Float64Array(8);
  const fitted = levenbergMarquardt(Float64Array.from(start.m.slice(0, 8)), (p, add) => {
    for (const pair of pairs) {
      const [wx, wy] = weights(pair);
      const { x, y } = pair.from;
      const w = 1 / (p[6] * x + p[7] * y + 1);
      const u = (p[0] * x + p[1] * y + p[2]) * w;
      const v = (p[3] * x + p[4] * y + p[5]) * w;
      row.set([x * w, y * w, w, 0, 0, 0, -u * x * w, -u * y * w]);
      add(row, pair.to.x - u, wx);
      row.set([0, 0, 0, x * w, y * w, w, -v * x * w, -v * y * w]);
      add(row, pair.to.y - v, wy);
    }
  });
  if (!fitted.covariance) return { ok: false, reason: fitted.reason ?? "the points do not determine a projective map" };
  return summary(pairs, { m: [...fitted.parameters, 1] }, fitted.parameters, fitted.covariance);
}

function centres(pairs: readonly Pair<Frame, Frame>[]): { x: number; y: number; u: number; v: number } {
  let x = 0;
  let y = 0;
  let u = 0;
  let v = 0;
  for (const pair of pairs) {
    x += pair.from.x / pairs.length;
    y += pair.from.y / pairs.length;
    u += pair.to.x / pairs.length;
    v += pair.to.y / pairs.length;
  }
  return { x, y, u, v };
}

function summary<From extends Frame, To extends Frame>(
  pairs: readonly Pair<From, To>[], transform: Transform<From, To>, parameters: Float64Array, cofactor: Float64Array,
): TransformFit<From, To> {
  const residuals = new Float64Array(2 * pairs.length);
  let cost = 0;
  let squares = 0;
  pairs.forEach((pair, i) => {
    const q = apply(transform, pair.from.x, pair.from.y);
    const dx = pair.to.x - q.x;
    const dy = pair.to.y - q.y;
    const [wx, wy] = weights(pair);
    residuals[2 * i] = dx;
    residuals[2 * i + 1] = dy;
    cost += wx * dx * dx + wy * dy * dy;
    squares += dx * dx + dy * dy;
  });
  const degreesOfFreedom = 2 * pairs.length - parameters.length;
  const sigma0 = degreesOfFreedom > 0 ? Math.sqrt(cost / degreesOfFreedom) : 0;
  return { ok: true, transform, parameters, cofactor, residuals, cost, degreesOfFreedom, sigma0, rms: Math.sqrt(squares / pairs.length) };
}
