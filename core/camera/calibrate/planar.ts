import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import { LENS_PARAMETERS } from "../lens.ts";
import type { Lens } from "../lens.ts";
import { lensAt, observations, pack, parameterCount, poseAt, predict } from "./model.ts";
import type { Layout, LensTerm, TargetPoint } from "./model.ts";
import type { Pose } from "./pose.ts";
import { startingValues } from "./start.ts";

/** The terms that a pinhole camera has. */
export const PINHOLE: readonly LensTerm[] = ["fx", "fy", "cx", "cy"];

export interface PlanarCalibration {
  readonly ok: true;
  readonly lens: Lens;
  readonly terms: readonly LensTerm[];
  readonly poses: readonly Pose[];
  /** Covariance of the nine lens terms in the order of LENS_PARAMETERS, scaled by the residual scatter; zero rows for fixed ones. */
  readonly covariance: number[][];
  /** Residuals seen - predicted per picture: du0, dv0, du1, dv1, ... px. */
  readonly residuals: readonly Float64Array[];
  /** sqrt(sum of squared distances / points), px. */
  readonly rms: number;
  /** Sum of weight * residual^2. */
  readonly cost: number;
  readonly rows: number;
  readonly parameters: number;
}

export interface NoCalibration {
  readonly ok: false;
  readonly reason: string;
}

/**
 * Camera calibration from pictures of a flat target: Zhang's start (IEEE PAMI 22, 2000), then all lens terms and poses
 * together by Levenberg-Marquardt, minimising the distances in the picture.
 *
 * @param views the points of each picture (four or more, not on a line), px in the sensor's own picture.
 * @param terms the lens terms to estimate; the others stay zero.
 */
export function calibratePlanar(
  views: readonly (readonly TargetPoint[])[], width: number, height: number, terms: readonly LensTerm[], from?: { lens: Lens; poses: readonly Pose[] },
): PlanarCalibration | NoCalibration {
  const start = from ?? startingValues(views, width, height);
  if (!start) return { ok: false, reason: "a picture shows fewer than four points of the target, or all in a line" };
  const layout: Layout = { terms, views: views.length };
  const fitted = levenbergMarquardt(pack(layout, start.lens, start.poses), observations(layout, start.lens, views), { maxIterations: 100, damping: 1e-3 });
  if (!fitted.covariance) return { ok: false, reason: whyUndetermined(layout, fitted.reason) };
  if (!fitted.converged) return { ok: false, reason: `the calibration did not settle: ${fitted.reason}` };
  const lens = lensAt(layout, start.lens, fitted.parameters);
  const poses = views.map((_, i) => poseAt(layout, fitted.parameters, i));
  const residuals = views.map((points, i) => residualsOf(lens, poses[i], points));
  const squares = residuals.reduce((s, r) => s + r.reduce((t, v) => t + v * v, 0), 0);
  const n = parameterCount(layout);
  const variance = fitted.rows > n ? fitted.cost / (fitted.rows - n) : 0;
  return {
    ok: true, lens, terms, poses, residuals, cost: fitted.cost, rows: fitted.rows, parameters: n,
    rms: Math.sqrt((2 * squares) / residuals.reduce((s, r) => s + r.length, 0)),
    covariance: lensCovariance(layout, fitted.covariance, n, variance),
  };
}

function residualsOf(lens: Lens, pose: Pose, points: readonly TargetPoint[]): Float64Array {
  const out = new Float64Array(2 * points.length);
  points.forEach((p, i) => {
    const q = predict(lens, pose, p.x, p.y);
    out[2 * i] = p.u - q.u;
    out[2 * i + 1] = p.v - q.v;
  });
  return out;
}

function lensCovariance({ terms }: Layout, covariance: Float64Array, n: number, variance: number): number[][] {
  const at = LENS_PARAMETERS.map((name) => terms.indexOf(name));
  return at.map((i) => at.map((j) => (i < 0 || j < 0 ? 0 : covariance[i * n + j] * variance)));
}

function whyUndetermined({ terms }: Layout, reason = ""): string {
  const index = Number(/parameter (\d+)/.exec(reason)?.[1] ?? 0) - 1;
  const what = index >= 0 && index < terms.length ? `the lens term ${terms[index]}` : "where the target lay";
  return `the pictures do not determine ${what}: take more, tilted in several directions`;
}
