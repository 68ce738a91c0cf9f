import { DIRECTIONS, directionOf } from "../cuts/trace.ts";
import { CUT_TERMS } from "./joint.ts";

interface Normal {
  readonly nx: number;
  readonly ny: number;
}

/**
 * Factor on the variance of what many chunks of the cuts say together, because their residuals are alike: near each other along a path, and all along a side.
 *
 * @param z residuals, in any unit, of the chunks with the given normals on the given paths.
 * @param spread robust standard deviation of z.
 * @param told by how much each chunk may lie off, alike along its whole side, as the uncertainty budget states it already (standard deviation in the unit of z); absent: nothing.
 */
export function alike(z: Float64Array, cuts: readonly Normal[], paths: readonly number[], spread: number, told?: Float64Array): number {
  const nearby = alongPaths(z, paths, spread);
  return Math.max(nearby, alongSides(z, cuts, paths, spread, nearby, told));
}

/** Residuals farther out than so many standard deviations are left out. */
const FAR = 4;
/** What is granted at the most for neighbouring chunks being alike, as a factor on the variance of their mean. */
export const MOST_ALIKE = 8;

/** Factor on the variance of a mean because neighbouring residuals are alike: 1 + 2 sum of the autocorrelation at lags 1 to 4. */
function alongPaths(z: Float64Array, paths: readonly number[], spread: number): number {
  const limit = FAR * Math.max(spread, 1e-9);
  let factor = 1;
  for (let lag = 1; lag <= 4; lag++) {
    let product = 0;
    let square = 0;
    for (let i = 0; i + lag < z.length; i++) {
      if (paths[i] !== paths[i + lag] || Math.abs(z[i]) > limit || Math.abs(z[i + lag]) > limit) continue;
      product += z[i] * z[i + lag];
      square += 0.5 * (z[i] * z[i] + z[i + lag] * z[i + lag]);
    }
    if (!(square > 0)) break;
    const r = product / square;
    if (r < 0.05) break;
    factor += 2 * r;
  }
  return Math.min(factor, MOST_ALIKE);
}


/** More than this a side's own error is not granted to count for. */
export const MOST_BY_SIDE = 40;
/** What the chunks near each other say counts for so many sides. */
const NEARBY_SIDES = 4;

/**
 * The same factor from whole sides: artwork beside a cut draws all of a side one way, over lengths that no lag of a few chunks shows. The mean of n residuals of one side and
 * scatter s has the variance s^2/n where they are independent; by what factor it is larger all sides together tell (a one-way analysis of
 * variance, its few degrees of freedom joined by what neighbouring chunks say). What lips may do to a side is a line of the budget of its own, and is not counted again.
 */
function alongSides(z: Float64Array, cuts: readonly Normal[], paths: readonly number[], spread: number, nearby: number, told?: Float64Array): number {
  const limit = FAR * Math.max(spread, 1e-9);
  const sides = new Map<number, { n: number; sum: number; told: number }>();
  cuts.forEach((cut, i) => {
    if (Math.abs(z[i]) > limit) return;
    const key = paths[i] * DIRECTIONS + directionOf(cut);
    const side = sides.get(key) ?? { n: 0, sum: 0, told: 0 };
    sides.set(key, { n: side.n + 1, sum: side.sum + z[i], told: side.told + (told?.[i] ?? 0) });
  });
  const several = [...sides.values()].filter((side) => side.n > 1);
  const freedom = several.length - CUT_TERMS.affine;
  if (freedom < 1) return nearby;
  const between = Math.max(0, several.reduce((sum, side) => sum + (side.sum ** 2 - side.told ** 2) / side.n, 0)) / Math.max(spread ** 2, 1e-12);
  return Math.min(MOST_BY_SIDE, (NEARBY_SIDES * nearby + between) / (NEARBY_SIDES + freedom));
}
