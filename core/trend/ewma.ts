import type { Series } from "./individuals.ts";

/** An EWMA chart by data row; `values[i]` is null where row i + 1 was not measured. */
export interface Ewma {
  readonly lambda: number;
  readonly values: readonly (number | null)[];
  readonly lcl: readonly number[];
  readonly ucl: readonly number[];
}

/**
 * Exponentially weighted moving average z_i = lambda x_i + (1 - lambda) z_(i-1), z_0 = centre, with the exact limits
 * centre +- width sigma sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^(2i))), i counting measured rows.
 *
 * NIST/SEMATECH e-Handbook 6.3.2.4. A row without a value leaves z and its limits as they are.
 */
export function ewma(values: Series, centre: number, sigma: number, lambda: number, width = 3): Ewma {
  const steady = lambda / (2 - lambda);
  const chart = { lambda, values: [] as (number | null)[], lcl: [] as number[], ucl: [] as number[] };
  let z = centre;
  let remembered = 1;
  for (const x of values) {
    if (!Number.isNaN(x)) {
      z = lambda * x + (1 - lambda) * z;
      remembered *= (1 - lambda) ** 2;
    }
    const reach = width * sigma * Math.sqrt(steady * (1 - remembered));
    chart.values.push(Number.isNaN(x) ? null : z);
    chart.lcl.push(centre - reach);
    chart.ucl.push(centre + reach);
  }
  return chart;
}
