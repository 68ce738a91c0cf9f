import { radialConformity } from "../judge/conformity.ts";
import { chiSquareQuantile, normalCdf, normalQuantile } from "../statistics/distributions.ts";
import { mean } from "./individuals.ts";

/** Tolerance limits, in the data's unit; at least one is given. */
export interface Limits {
  readonly lower?: number;
  readonly upper?: number;
}

/** A capability index with its confidence interval. */
export interface Index {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/**
 * (upper - lower) / (6 sigma), where both limits are given. The interval scales with that of sigma: chi-square with `dof`
 * degrees of freedom (exact for a standard deviation of normal values).
 */
export function spreadIndex(limits: Limits, sigma: number, dof: number, confidence = 0.95): Index | null {
  if (limits.lower === undefined || limits.upper === undefined) return null;
  const value = (limits.upper - limits.lower) / (6 * sigma);
  const tail = (1 - confidence) / 2;
  const at = (p: number): number => value * Math.sqrt(chiSquareQuantile(p, dof) / dof);
  return { value, low: at(tail), high: at(1 - tail) };
}

/**
 * Distance from the centre to the nearer limit / (3 sigma). Interval by Bissell's (1990) normal approximation,
 * value +- z sqrt(1/(9n) + value^2/(2 dof)); agrees with the piston-ring reference.
 */
export function nearIndex(limits: Limits, centre: number, sigma: number, n: number, dof: number, confidence = 0.95): Index {
  const value = Math.min((limits.upper ?? Infinity) - centre, centre - (limits.lower ?? -Infinity)) / (3 * sigma);
  const reach = normalQuantile(1 - (1 - confidence) / 2) * Math.sqrt(1 / (9 * n) + value ** 2 / (2 * dof));
  return { value, low: value - reach, high: value + reach };
}

/**
 * Degrees of freedom that a sigma from m = n - 1 moving ranges of two is worth: 1 / (2 * its relative variance).
 * The relative variance is (0.5708 m + 0.2557 (m - 1)) / m^2, from Var|x1 - x2| = 2 - 4/pi and
 * Cov(|x1 - x2|, |x2 - x3|) = 1/3 + (2 sqrt(3) - 4)/pi, each over (4/pi).
 */
export function movingRangeDof(n: number): number {
  const m = Math.max(1, n - 1);
  const square = 4 / Math.PI;
  const own = (2 - square) / square;
  const shared = (1 / 3 + (2 * Math.sqrt(3) - 4) / Math.PI) / square;
  return (m * m) / (2 * (own * m + 2 * shared * (m - 1)));
}

/** Share of a normal population outside the limits. */
export function outShare(limits: Limits, centre: number, sigma: number): number {
  const above = limits.upper === undefined ? 0 : normalCdf((centre - limits.upper) / sigma);
  const below = limits.lower === undefined ? 0 : normalCdf((limits.lower - centre) / sigma);
  return above + below;
}

/**
 * Share of a bivariate normal population farther than `limit` from (0, 0): for the offset, whose length is non-negative
 * and must not be fitted by a normal. `x` and `y` hold complete pairs.
 */
export function radialOutShare(x: readonly number[], y: readonly number[], limit: number): number {
  const [mx, my] = [mean(x), mean(y)];
  let [xx, xy, yy] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    xx += (x[i] - mx) ** 2;
    xy += (x[i] - mx) * (y[i] - my);
    yy += (y[i] - my) ** 2;
  }
  const n = x.length - 1;
  return 1 - radialConformity({ x: mx, y: my }, { xx: xx / n, xy: xy / n, yy: yy / n }, limit);
}
