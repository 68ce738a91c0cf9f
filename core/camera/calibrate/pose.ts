import { Matrix, SingularValueDecomposition } from "ml-matrix";
import type { Transform } from "../../geometry/transform.ts";
import type { Lens } from "../lens.ts";

/** Pose of a target: camera point = R (x, y, 0) + t; `turn` is the rotation vector (axis times angle, rad), `shift` t in mm. */
export interface Pose {
  readonly turn: readonly [number, number, number];
  readonly shift: readonly [number, number, number];
}

/** Rotation matrix of a rotation vector (Rodrigues), row-major. */
export function rotationOf(turn: ArrayLike<number>): number[] {
  const [x, y, z] = [turn[0], turn[1], turn[2]];
  const angle2 = x * x + y * y + z * z;
  const angle = Math.sqrt(angle2);
  const s = angle < 1e-4 ? 1 - angle2 / 6 : Math.sin(angle) / angle;
  const c = angle < 1e-4 ? 0.5 - angle2 / 24 : (1 - Math.cos(angle)) / angle2;
  return [
    1 - c * (y * y + z * z), c * x * y - s * z, c * x * z + s * y,
    c * x * y + s * z, 1 - c * (x * x + z * z), c * y * z - s * x,
    c * x * z - s * y, c * y * z + s * x, 1 - c * (x * x + y * y),
  ];
}

/**
 * Derivatives of the rotation matrix by the three terms of its vector, each row-major (Gallego & Yezzi 2015, eq. 9):
 * dR/dv_i = (v_i [v] + [v x (I - R) e_i]) R / |v|^2, and [e_i] at v = 0.
 */
export function rotationDerivatives(turn: ArrayLike<number>, rotation: readonly number[]): number[][] {
  const v = [turn[0], turn[1], turn[2]];
  const angle2 = v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
  return [0, 1, 2].map((i) => {
    const unit = [0, 1, 2].map((k) => (k === i ? 1 : 0));
    // Close to no turn the quotient loses its digits and the limit is good to |v|.
    if (angle2 < 1e-16) return skewTimes(unit, rotation);
    const rest = unit.map((e, k) => e - rotation[3 * k + i]);
    const w = [0, 1, 2].map((k) => (v[i] * v[k] + v[(k + 1) % 3] * rest[(k + 2) % 3] - v[(k + 2) % 3] * rest[(k + 1) % 3]) / angle2);
    return skewTimes(w, rotation);
  });
}

/** [w] M, the cross product of w with each column of M. */
function skewTimes(w: readonly number[], m: readonly number[]): number[] {
  const out = new Array<number>(9);
  for (let j = 0; j < 3; j++) {
    out[j] = w[1] * m[6 + j] - w[2] * m[3 + j];
    out[3 + j] = w[2] * m[j] - w[0] * m[6 + j];
    out[6 + j] = w[0] * m[3 + j] - w[1] * m[j];
  }
  return out;
}

/** Rotation vector of a rotation matrix (row-major); well-behaved at half turns by way of the quaternion. */
export function turnOf(r: readonly number[]): [number, number, number] {
  const candidates = [
    [1 + r[0] + r[4] + r[8], r[7] - r[5], r[2] - r[6], r[3] - r[1]],
    [r[7] - r[5], 1 + r[0] - r[4] - r[8], r[1] + r[3], r[2] + r[6]],
    [r[2] - r[6], r[1] + r[3], 1 - r[0] + r[4] - r[8], r[5] + r[7]],
    [r[3] - r[1], r[2] + r[6], r[5] + r[7], 1 - r[0] - r[4] + r[8]],
  ];
  const best = [0, 1, 2, 3].reduce((a, b) => (candidates[b][b] > candidates[a][a] ? b : a));
  const q = candidates[best];
  const length = Math.hypot(...q) * (q[0] < 0 ? -1 : 1);
  const [w, x, y, z] = q.map((t) => t / length);
  const sine = Math.hypot(x, y, z);
  const factor = sine < 1e-12 ? 2 : (2 * Math.atan2(sine, w)) / sine;
  return [factor * x, factor * y, factor * z];
}

/**
 * The pose that a homography from the target's plane to the ideal picture shows (Zhang 2000, section 3.1): the columns of
 * K^-1 H are r1, r2, t up to a scale; the nearest rotation is taken. The target lies before the camera (t_z > 0).
 */
export function poseFrom(homography: Transform<"print", "picture">, lens: Lens): Pose {
  const h = homography.m;
  const column = (j: number) => [
    (h[j] - lens.cx * h[6 + j]) / lens.fx,
    (h[3 + j] - lens.cy * h[6 + j]) / lens.fy,
    h[6 + j],
  ];
  const [a, b, t] = [column(0), column(1), column(2)];
  let scale = 2 / (Math.hypot(...a) + Math.hypot(...b));
  if (t[2] * scale < 0) scale = -scale;
  const [r1, r2] = [a.map((v) => v * scale), b.map((v) => v * scale)];
  const r3 = [r1[1] * r2[2] - r1[2] * r2[1], r1[2] * r2[0] - r1[0] * r2[2], r1[0] * r2[1] - r1[1] * r2[0]];
  const svd = new SingularValueDecomposition(new Matrix([0, 1, 2].map((i) => [r1[i], r2[i], r3[i]])));
  const rotation = svd.leftSingularVectors.mmul(svd.rightSingularVectors.transpose());
  return { turn: turnOf(rotation.to1DArray()), shift: [t[0] * scale, t[1] * scale, t[2] * scale] };
}

/** Angle between the target's normal and the optical axis, degrees (0 = seen straight on). */
export function tiltOf(pose: Pose): number {
  return (Math.acos(Math.min(1, Math.abs(rotationOf(pose.turn)[8]))) * 180) / Math.PI;
}
