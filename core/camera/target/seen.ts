import type { PicturePoint } from "../../geometry/frames.ts";
import { homographyFrom } from "../../geometry/homography.ts";
import { levenbergMarquardt } from "../../geometry/levenbergMarquardt.ts";
import { DISTORTED, distortWithDerivatives } from "../lens.ts";
import type { Lens } from "../lens.ts";
import type { View } from "../view.ts";

export interface Sighting {
  readonly x: number;
  readonly y: number;
  readonly at: PicturePoint;
}

/**
 * A view (homography and k1 about the picture's middle) through target points and where they are seen: good enough to predict the other
 * points to a fraction of their pitch. Null where the points do not fix it.
 */
export function roughView(sightings: readonly Sighting[], width: number, height: number): View | null {
  const start = homographyFrom<"print", "picture">(sightings.map((s) => ({ from: s, to: s.at })));
  if (!start) return null;
  const f = Math.max(width, height);
  const lens: Lens = { fx: f, fy: f, cx: (width - 1) / 2, cy: (height - 1) / 2, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 };
  if (sightings.length < 12) return { homography: start, lens };
  const row = new Float64Array(9);
  const d = new Float64Array(DISTORTED.length);
  const fitted = levenbergMarquardt(Float64Array.from([...start.m.slice(0, 8), 0]), (p, add) => {
    const own = { ...lens, k1: p[8] };
    for (const { x, y, at } of sightings) {
      const w = 1 / (p[6] * x + p[7] * y + 1);
      const u = (p[0] * x + p[1] * y + p[2]) * w;
      const v = (p[3] * x + p[4] * y + p[5]) * w;
      distortWithDerivatives(own, u, v, d);
      const byU = [x * w, y * w, w, 0, 0, 0, -u * x * w, -u * y * w];
      const byV = [0, 0, 0, x * w, y * w, w, -v * x * w, -v * y * w];
      for (let i = 0; i < 8; i++) row[i] = d[2] * byU[i] + d[3] * byV[i];
      row[8] = d[DISTORTED.xByLens + 4];
      add(row, at.x - d[0], 1);
      for (let i = 0; i < 8; i++) row[i] = d[4] * byU[i] + d[5] * byV[i];
      row[8] = d[DISTORTED.yByLens + 4];
      add(row, at.y - d[1], 1);
    }
  }, { damping: 1e-3 });
  if (!fitted.covariance) return { homography: start, lens };
  const p = fitted.parameters;
  return { homography: { m: [...p.subarray(0, 8), 1] }, lens: { ...lens, k1: p[8] } };
}
