import { tQuantile } from "../statistics/distributions.ts";
import { mean } from "./individuals.ts";

/** A straight line by least squares, about the means: y = yMean + slope (x - xMean). */
export interface Line {
  readonly n: number;
  readonly xMean: number;
  readonly yMean: number;
  readonly slope: number;
  /** Sum of (x - xMean)^2. */
  readonly sxx: number;
  /** Residual sum of squares. */
  readonly rss: number;
}

/** Fits a line; null for fewer than three points or where all x are the same. Centred, so that large x cost no digits. */
export function fitLine(x: readonly number[], y: readonly number[]): Line | null {
  const n = x.length;
  if (n < 3) return null;
  const [xMean, yMean] = [mean(x), mean(y)];
  let [sxx, sxy] = [0, 0];
  for (let i = 0; i < n; i++) {
    sxx += (x[i] - xMean) ** 2;
    sxy += (x[i] - xMean) * (y[i] - yMean);
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  let rss = 0;
  for (let i = 0; i < n; i++) rss += (y[i] - yMean - slope * (x[i] - xMean)) ** 2;
  return { n, xMean, yMean, slope, sxx, rss };
}

/** Residual standard deviation with n - 2 degrees of freedom. */
export const residualDeviation = (line: Line): number => Math.sqrt(line.rss / (line.n - 2));

/** Two-sided confidence interval of the slope by Student's t. */
export function slopeInterval(line: Line, confidence = 0.95): { low: number; high: number } {
  const reach = (tQuantile(0.5 + confidence / 2, line.n - 2) * residualDeviation(line)) / Math.sqrt(line.sxx);
  return { low: line.slope - reach, high: line.slope + reach };
}
