import { normalCdf, tQuantile } from "../statistics/distributions.ts";
import { movingRangeDof } from "./capability.ts";
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

/** Weight of the newest value in the drift chart. */
const DRIFT_LAMBDA = 0.2;

/**
 * The drift chart: an EWMA whose limits also allow for a centre and a scatter that are themselves estimates from `n` baseline
 * rows: centre +- t sigma sqrt(lambda / (2 - lambda) (1 - (1 - lambda)^(2i)) + 1/n), t at the probability of three sigma with the
 * degrees of freedom of a moving-range sigma. Textbook limits give one false alarm and more in 300 sheets after a baseline of
 * 100; these give about half of that (tests/bench/power.ts).
 */
export function driftChart(values: Series, base: { readonly centre: number; readonly sigmaWithin: number; readonly n: number }): Ewma {
  const chart = ewma(values, base.centre, base.sigmaWithin, DRIFT_LAMBDA, 1);
  const t = tQuantile(normalCdf(3), movingRangeDof(base.n));
  const reach = chart.ucl.map((ucl) => t * Math.hypot(ucl - base.centre, base.sigmaWithin / Math.sqrt(base.n)));
  return { ...chart, lcl: reach.map((r) => base.centre - r), ucl: reach.map((r) => base.centre + r) };
}
