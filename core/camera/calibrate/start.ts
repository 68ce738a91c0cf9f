import { homographyFrom } from "../../geometry/homography.ts";
import { linearLeastSquares } from "../../geometry/leastSquares.ts";
import type { Transform } from "../../geometry/transform.ts";
import type { Lens } from "../lens.ts";
import type { TargetPoint } from "./model.ts";
import { poseFrom } from "./pose.ts";
import type { Pose } from "./pose.ts";

export interface Start {
  readonly lens: Lens;
  readonly poses: readonly Pose[];
}

/**
 * Starting values after Zhang (2000): each picture's homography must carry the circular points onto the image of the
 * absolute conic. With the principal point in the middle of the picture and no skew the two conditions per picture are
 * linear in 1/fx^2 and 1/fy^2. Null where a picture's points do not fix a homography.
 */
export function startingValues(views: readonly (readonly TargetPoint[])[], width: number, height: number): Start | null {
  const homographies: Transform<"print", "picture">[] = [];
  for (const points of views) {
    const h = homographyFrom<"print", "picture">(points.map((p) => ({ from: p, to: { x: p.u, y: p.v } })));
    if (!h) return null;
    homographies.push(h);
  }
  const centre = { cx: (width - 1) / 2, cy: (height - 1) / 2 };
  const focal = focalLengths(homographies, centre) ?? { fx: 1.2 * Math.max(width, height), fy: 1.2 * Math.max(width, height) };
  const lens: Lens = { ...focal, ...centre, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 };
  return { lens, poses: homographies.map((h) => poseFrom(h, lens)) };
}

function focalLengths(
  homographies: readonly Transform<"print", "picture">[], { cx, cy }: { cx: number; cy: number },
): { fx: number; fy: number } | null {
  const rows: number[][] = [];
  const rest: number[] = [];
  for (const { m } of homographies) {
    // Columns seen from the principal point, scaled so that each picture counts alike.
    const h = [0, 1].map((j) => [m[j] - cx * m[6 + j], m[3 + j] - cy * m[6 + j], m[6 + j]]);
    const norm = Math.hypot(...h[0]) * Math.hypot(...h[1]);
    rows.push([(h[0][0] * h[1][0]) / norm, (h[0][1] * h[1][1]) / norm]);
    rest.push((-h[0][2] * h[1][2]) / norm);
    rows.push([(h[0][0] ** 2 - h[1][0] ** 2) / norm, (h[0][1] ** 2 - h[1][1] ** 2) / norm]);
    rest.push((h[1][2] ** 2 - h[0][2] ** 2) / norm);
  }
  const both = linearLeastSquares(rows, rest);
  if (both.ok && both.parameters.every((p) => p > 0)) {
    const [fx, fy] = both.parameters.map((p) => 1 / Math.sqrt(p));
    if (fx / fy < 2 && fy / fx < 2) return { fx, fy };
  }
  const one = linearLeastSquares(rows.map(([a, b]) => [a + b]), rest);
  if (!one.ok || !(one.parameters[0] > 0)) return null;
  const f = 1 / Math.sqrt(one.parameters[0]);
  return { fx: f, fy: f };
}
