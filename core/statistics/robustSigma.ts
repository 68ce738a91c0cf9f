import { medianOf } from "./median.ts";

/** Standard deviation over median size of a normal deviation: 1 / (normal quantile of 3/4). Hampel, J. Am. Stat. Assoc. 69 (1974) 383 (from memory). */
const SIGMA_OVER_MEDIAN = 1.4826;

/** Standard deviation that deviations about a known centre tell where up to half of them are something else, in their own unit; their signs do not count. 0 of none. */
export function robustSigma(deviations: Float64Array | readonly number[]): number {
  const sizes = new Float64Array(deviations.length);
  for (let i = 0; i < sizes.length; i++) sizes[i] = Math.abs(deviations[i]);
  return SIGMA_OVER_MEDIAN * medianOf(sizes);
}
