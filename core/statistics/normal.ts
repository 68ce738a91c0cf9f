/** The normal distribution, apart from the others: a check of one sheet needs no more, and all of them are some 450 modules to load. */
import normalCdfOf from "@stdlib/stats-base-dists-normal-cdf";
import normalQuantileOf from "@stdlib/stats-base-dists-normal-quantile";

/** Probability that a standard normal value is at most `z`. */
export const normalCdf = (z: number): number => normalCdfOf(z, 0, 1);

/** Density of the standard normal at `z`. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** The `z` below which a standard normal value lies with probability `p`. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1e-15)) return normalQuantileOf(p, 0, 1);
  // stdlib gives -Infinity below about 1e-20: there Newton's method on ln(tail), from the tail's leading term.
  let z = Math.sqrt(-2 * Math.log(p));
  for (let i = 0; i < 6; i++) z += ((Math.log(normalCdf(-z)) - Math.log(p)) * normalCdf(-z)) / normalDensity(z);
  return -z;
}
