import { DIRECTIONS, directionOf } from "../../cuts/directions.ts";
import { CUT_TERMS } from "./cutMap.ts";

interface Normal {
  readonly nx: number;
  readonly ny: number;
}

/**
 * Factor on the variance of what many chunks of the cuts say together, because their residuals are alike: near each other along a path, and all along a side.
 *
 * @param z residuals, in any unit, of the chunks with the given normals on the given paths.
 * @param spread robust standard deviation of z.
 */
export function alike(z: Float64Array, cuts: readonly Normal[], paths: readonly number[], spread: number): number {
  const nearby = alongPaths(z, paths, spread);
  return Math.max(nearby, alongSides(z, cuts, paths, spread, nearby));
}

/** Residuals farther out than so many standard deviations are left out. */
const FAR = 4;
/** What is granted at the most for neighbouring chunks being alike, as a factor on the variance of their mean. */
const MOST_ALIKE = 8;

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

/** Terms of an affine map besides its shift, which sides of one direction do not tell from what they have in common. */
const TURN_AND_STRETCH = CUT_TERMS.affine - CUT_TERMS.shift;

interface Sum {
  readonly n: number;
  readonly sum: number;
}

/** More than this a side's own error is not granted to count for. */
export const MOST_BY_SIDE = 40;
/** What the chunks near each other say counts for so many sides. */
const NEARBY_SIDES = 4;

/**
 * The same factor from whole sides: artwork beside a cut draws all of a side one way, over lengths that no lag of a few chunks shows. The mean of n residuals of one side and
 * scatter s has the variance s^2/n where they are independent; by what factor it is larger all sides together tell (a one-way analysis of
 * variance, its few degrees of freedom joined by what neighbouring chunks say). What all sides of one direction have in common is a lip's doing, has a line of its own in the budget, and is not counted again.
 */
function alongSides(z: Float64Array, cuts: readonly Normal[], paths: readonly number[], spread: number, nearby: number): number {
  const limit = FAR * Math.max(spread, 1e-9);
  const sides = new Map<number, Sum>();
  const directions = new Map<number, Sum>();
  const add = (to: Map<number, Sum>, key: number, n: number, sum: number): void => {
    const old = to.get(key) ?? { n: 0, sum: 0 };
    to.set(key, { n: old.n + n, sum: old.sum + sum });
  };
  cuts.forEach((cut, i) => {
    if (Math.abs(z[i]) <= limit) add(sides, paths[i] * DIRECTIONS + directionOf(cut), 1, z[i]);
  });
  const several = [...sides].filter(([, side]) => side.n > 1);
  for (const [key, side] of several) add(directions, key % DIRECTIONS, side.n, side.sum);
  const freedom = several.length - directions.size - TURN_AND_STRETCH;
  if (freedom < 1) return nearby;
  const squares = (sums: Iterable<Sum>): number => [...sums].reduce((total, { n, sum }) => total + sum ** 2 / n, 0);
  const between = (squares(several.map(([, side]) => side)) - squares(directions.values())) / Math.max(spread ** 2, 1e-12);
  return Math.min(MOST_BY_SIDE, (NEARBY_SIDES * nearby + between) / (NEARBY_SIDES + freedom));
}
