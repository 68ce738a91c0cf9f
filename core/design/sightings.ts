import type { MarkSighting } from "../check/fit/equations.ts";
import { MARK_PRINT } from "../check/uncertainty/budget.ts";
import { FLOOR_PX } from "../check/layout/markSightings.ts";
import { factor } from "../geometry/normalEquations.ts";
import type { Covariance2 } from "../geometry/frames.ts";
import type { Mark } from "../job/schema.ts";
import { localMap, type LocalMap, type PlaneMap } from "../marks/localMap.ts";
import { COVERAGE_TERMS, coverageOf } from "../marks/coverage.ts";
import { reach } from "../marks/shapes.ts";
import type { Light } from "./setup.ts";

/**
 * What a picture will say of marks, before there is one: the same sightings that the check makes, with the uncertainties that blur, noise and
 * what is usual in print leave. Cuts: see cutSightings.ts.
 */

/** A mark as it will be seen; null where it lies outside the picture. */
export function expectedMark(mark: Mark, index: number, map: PlaneMap, light: Light): MarkSighting | null {
  const seen = map.toPicture(mark);
  const local = seen && localMap(map, seen, reach(mark));
  if (!seen || !local) return null;
  const covariance = markCovariance(mark, local, light);
  return covariance && { mark: index, print: { x: mark.x, y: mark.y }, seen, covariance };
}

/** Parameters of the fit of a mark (see marks/refine.ts): centre, gain, blur, contrast with its slopes, board with its slopes. */
const TERMS = 10;

/**
 * Covariance of a mark's centre, px^2, as the fit of marks/refine.ts has it: its design matrix over the pixels of the window, white noise, all
 * other terms free; with the floor of the pixel grid and the mark's own print added.
 */
export function markCovariance(mark: Mark, local: LocalMap, light: Light): Covariance2<"picture"> | null {
  const coverage = coverageOf(mark, local.blur);
  const inner = reach(mark) * local.scale;
  const radius = inner + Math.max(3, 4 * light.blur, 2 + 0.12 * inner);
  // Of large marks every n-th pixel stands for its neighbours.
  const step = Math.max(1, Math.floor(radius / 24));
  const uv = new Float64Array(2);
  const [u, v] = [new Float64Array(1), new Float64Array(1)];
  const c = new Float64Array(COVERAGE_TERMS);
  const row = new Float64Array(TERMS);
  const matrix = new Float64Array(TERMS * TERMS);
  for (let y = -Math.ceil(radius); y <= radius; y += step) {
    for (let x = -Math.ceil(radius); x <= radius; x += step) {
      if (x * x + y * y > radius * radius) continue;
      local.toPrint(x, y, uv);
      [u[0], v[0]] = uv;
      coverage.at(u, v, 0, light.blur, c);
      row.set([-light.contrast * c[1], -light.contrast * c[2], light.contrast * c[3], light.contrast * c[4], c[0], (c[0] * x) / radius, (c[0] * y) / radius, 1, x / radius, y / radius]);
      for (let i = 0; i < TERMS; i++) for (let j = 0; j < TERMS; j++) matrix[TERMS * i + j] += row[i] * row[j];
    }
  }
  const solved = factor(matrix, TERMS);
  if ("undetermined" in solved) return null;
  const inverse = solved.inverse();
  const variance = (light.noise * step) ** 2;
  const [xx, xy, yy] = [inverse[0], inverse[1], inverse[TERMS + 1]].map((v) => v * variance);
  const [a, b, d, e] = local.derivative;
  const floor = FLOOR_PX ** 2;
  const print = MARK_PRINT ** 2;
  return {
    xx: a * a * xx + 2 * a * b * xy + b * b * yy + floor + print * (a * a + b * b),
    xy: a * d * xx + (a * e + b * d) * xy + b * e * yy + print * (a * d + b * e),
    yy: d * d * xx + 2 * d * e * xy + e * e * yy + floor + print * (d * d + e * e),
  };
}
