import type { AddRow } from "../../geometry/rowSums.ts";
import { DISTORTED, LENS_PARAMETERS, distort, distortWithDerivatives } from "../lens.ts";
import type { Lens } from "../lens.ts";
import { rotationDerivatives, rotationOf } from "./pose.ts";
import type { Pose } from "./pose.ts";

export type LensTerm = (typeof LENS_PARAMETERS)[number];

/** One point of the target (mm, its own plane) and where a picture shows it (px), with 1/variance up to a common factor. */
export interface TargetPoint {
  readonly x: number;
  readonly y: number;
  readonly u: number;
  readonly v: number;
  readonly weight?: number;
}

/** The free parameters: the lens terms named, then turn and shift of every picture. */
export interface Layout {
  readonly terms: readonly LensTerm[];
  readonly views: number;
}

/** How many free parameters a layout has: its lens terms, and six for the pose of each view. */
export function parameterCount({ terms, views }: Layout): number {
  return terms.length + 6 * views;
}

/** Lens and poses as one vector: the free lens terms, then for each view turn and shift. */
export function pack(layout: Layout, lens: Lens, poses: readonly Pose[]): Float64Array {
  return Float64Array.from([...layout.terms.map((t) => lens[t]), ...poses.flatMap((p) => [...p.turn, ...p.shift])]);
}

/** The lens at `parameters`; terms that are not free keep their value in `base`. */
export function lensAt(layout: Layout, base: Lens, parameters: Float64Array): Lens {
  return { ...base, ...Object.fromEntries(layout.terms.map((t, i) => [t, parameters[i]])) };
}

/** The pose of one view (counted from 0) in the vector. */
export function poseAt(layout: Layout, parameters: Float64Array, view: number): Pose {
  const at = layout.terms.length + 6 * view;
  const [a, b, c, x, y, z] = parameters.subarray(at, at + 6);
  return { turn: [a, b, c], shift: [x, y, z] };
}

/** Where the lens shows the target point (x, y) at `pose`, px. */
export function predict(lens: Lens, pose: Pose, x: number, y: number): { u: number; v: number } {
  const r = rotationOf(pose.turn);
  const [tx, ty, tz] = pose.shift;
  const z = r[6] * x + r[7] * y + tz;
  const q = distort(lens, lens.cx + (lens.fx * (r[0] * x + r[1] * y + tx)) / z, lens.cy + (lens.fy * (r[3] * x + r[4] * y + ty)) / z);
  return { u: q.x, v: q.y };
}

/**
 * Residuals and analytic derivatives of all pictures for `levenbergMarquardt`: picture = lens(R (x, y, 0) + t). A target that
 * comes behind the camera gives an infinite residual, so that the step is taken back.
 */
export function observations(layout: Layout, base: Lens, views: readonly (readonly TargetPoint[])[]) {
  const n = parameterCount(layout);
  const indices = layout.terms.map((t) => LENS_PARAMETERS.indexOf(t));
  const rowU = new Float64Array(n);
  const rowV = new Float64Array(n);
  const d = new Float64Array(DISTORTED.length);
  return (parameters: Float64Array, add: AddRow): void => {
    const lens = lensAt(layout, base, parameters);
    views.forEach((points, view) => {
      const pose = poseAt(layout, parameters, view);
      const r = rotationOf(pose.turn);
      const byTurn = rotationDerivatives(pose.turn, r);
      const at = layout.terms.length + 6 * view;
      rowU.fill(0);
      rowV.fill(0);
      for (const point of points) {
        const { x, y } = point;
        const z = r[6] * x + r[7] * y + pose.shift[2];
        const a = (r[0] * x + r[1] * y + pose.shift[0]) / z;
        const b = (r[3] * x + r[4] * y + pose.shift[1]) / z;
        distortWithDerivatives(lens, lens.cx + lens.fx * a, lens.cy + lens.fy * b, d);
        // The ideal point itself moves with fx, fy, cx, cy.
        d[6] += d[2] * a;
        d[15] += d[4] * a;
        d[7] += d[3] * b;
        d[16] += d[5] * b;
        d[8] += d[2];
        d[17] += d[4];
        d[9] += d[3];
        d[18] += d[5];
        for (let i = 0; i < indices.length; i++) {
          rowU[i] = d[DISTORTED.xByLens + indices[i]];
          rowV[i] = d[DISTORTED.yByLens + indices[i]];
        }
        for (let k = 0; k < 6; k++) {
          const m = byTurn[k];
          const px = k < 3 ? m[0] * x + m[1] * y : k === 3 ? 1 : 0;
          const py = k < 3 ? m[3] * x + m[4] * y : k === 4 ? 1 : 0;
          const pz = k < 3 ? m[6] * x + m[7] * y : k === 5 ? 1 : 0;
          const da = (lens.fx * (px - a * pz)) / z;
          const db = (lens.fy * (py - b * pz)) / z;
          rowU[at + k] = d[2] * da + d[3] * db;
          rowV[at + k] = d[4] * da + d[5] * db;
        }
        const weight = point.weight ?? 1;
        add(rowU, z > 0 ? point.u - d[0] : Infinity, weight);
        add(rowV, z > 0 ? point.v - d[1] : Infinity, weight);
      }
    });
  };
}
