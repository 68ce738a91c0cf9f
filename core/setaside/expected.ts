import { chiSquareQuantile, normalCdf, normalQuantile } from "../statistics/distributions.ts";
import { fitLine } from "../trend/line.ts";
import type { SheetRange } from "./ranges.ts";

/** How many bad sheets are to be expected among the suspects, with a 90 % interval. */
export interface ExpectedBad {
  readonly suspects: number;
  readonly expected: number;
  readonly low: number;
  readonly high: number;
}

const DRAWS = 400;

/**
 * Expected number of bad sheets among `suspects`, from a straight trend through the checked values of the run: `sheets[i]` has
 * the signed value `values[i]`; a sheet is bad where its size exceeds `limit`. Scatter about the line is taken as normal.
 *
 * The interval holds both the doubt about line and scatter (drawn from their sampling distributions) and chance from sheet to
 * sheet (Poisson-binomial, by its normal approximation). `random` gives uniform numbers in [0, 1): the same stream gives
 * the same figures. Null where fewer than three sheets were checked or nothing is suspect.
 */
export function expectedBad(
  sheets: readonly number[], values: readonly number[], limit: number, suspects: readonly SheetRange[], random: () => number,
): ExpectedBad | null {
  const line = fitLine(sheets, values);
  const places = suspects.flatMap((r) => Array.from({ length: r.to - r.from + 1 }, (_, i) => r.from + i));
  if (!line || places.length === 0) return null;
  const dof = line.n - 2;
  const uniform = (): number => Math.min(1 - 1e-12, Math.max(1e-12, random()));
  const normal = (): number => normalQuantile(uniform());
  const outOf = (mean: number, sigma: number): number =>
    sigma > 0 ? normalCdf((mean - limit) / sigma) + normalCdf((-limit - mean) / sigma) : Number(Math.abs(mean) > limit);
  const counts: number[] = [];
  let total = 0;
  for (let draw = 0; draw < DRAWS; draw++) {
    const sigma = Math.sqrt(line.rss / chiSquareQuantile(uniform(), dof));
    const level = line.yMean + (sigma / Math.sqrt(line.n)) * normal();
    const slope = line.slope + (sigma / Math.sqrt(line.sxx)) * normal();
    let [mean, variance] = [0, 0];
    for (const place of places) {
      const p = outOf(level + slope * (place - line.xMean), sigma);
      mean += p;
      variance += p * (1 - p);
    }
    total += mean;
    counts.push(Math.min(places.length, Math.max(0, mean + Math.sqrt(variance) * normal())));
  }
  counts.sort((a, b) => a - b);
  return { suspects: places.length, expected: total / DRAWS, low: counts[Math.floor(0.05 * DRAWS)], high: counts[Math.ceil(0.95 * DRAWS) - 1] };
}
