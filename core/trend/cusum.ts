import type { Series } from "./individuals.ts";

/** A tabular CUSUM by data row, in the data's unit; null where the row was not measured. */
export interface Cusum {
  /** Slack per sheet. */
  readonly k: number;
  /** Decision limit. */
  readonly h: number;
  readonly high: readonly (number | null)[];
  readonly low: readonly (number | null)[];
}

/**
 * Tabular CUSUM: high_i = max(0, high_(i-1) + x_i - target - k), low_i = max(0, low_(i-1) + target - k - x_i), both from 0;
 * a signal where one exceeds h. NIST/SEMATECH e-Handbook 6.3.2.3. A row without a value leaves the sums as they are.
 */
export function cusum(values: Series, target: number, k: number, h: number): Cusum {
  let [high, low] = [0, 0];
  const chart = { k, h, high: [] as (number | null)[], low: [] as (number | null)[] };
  for (const x of values) {
    const missing = Number.isNaN(x);
    if (!missing) {
      high = Math.max(0, high + x - target - k);
      low = Math.max(0, low + target - k - x);
    }
    chart.high.push(missing ? null : high);
    chart.low.push(missing ? null : low);
  }
  return chart;
}
