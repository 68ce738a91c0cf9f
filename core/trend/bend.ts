import { mean } from "./individuals.ts";
import type { Line } from "./line.ts";

/** A drift that began at x = `since` (the first x where it ran all along): y = line over max(0, x - since). */
export interface Hinge {
  readonly since: number;
  readonly line: Line;
}

/** Fits of all drifts that began at one of the x and have five values after it. */
export function bends(x: readonly number[], y: readonly number[]): Hinge[] {
  const hinges: Hinge[] = [];
  const yMean = mean(y);
  eachBend(x, y, yMean, (k, xMean, slope, sxx, rss) => hinges.push({ since: x[k], line: { n: x.length, xMean, yMean, slope, sxx, rss } }));
  return hinges;
}

/** Calls `visit` with each such fit, the latest beginning first, by running sums; `k` is the index of the beginning. */
function eachBend(x: readonly number[], y: readonly number[], yMean: number, visit: (k: number, xMean: number, slope: number, sxx: number, rss: number) => void): void {
  const n = x.length;
  const origin = x[n - 1];
  let syy = 0;
  for (const v of y) syy += (v - yMean) ** 2;
  // Sums over i >= k of 1, x - origin, its square, y, and the product.
  let [m, sx, sx2, sy, sxy] = [0, 0, 0, 0, 0];
  for (let k = n - 1; k >= 0; k--) {
    const [v, e] = [x[k] - origin, y[k] - yMean];
    m++;
    sx += v;
    sx2 += v * v;
    sy += e;
    sxy += v * e;
    if (m < 5) continue;
    const su = sx - m * v;
    const su2 = sx2 - 2 * v * sx + m * v * v;
    const suy = sxy - v * sy;
    const sxx = su2 - (su * su) / n;
    if (!(sxx > 0)) continue;
    const slope = suy / sxx;
    visit(k, su / n, slope, sxx, Math.max(0, syy - slope * suy));
  }
}

/** The level course with one bend that fits best: level and then drifting, or drifting and then level; its residuals by value. Null for too few values. */
export function bestBend(x: readonly number[], y: readonly number[]): { readonly rss: number; readonly residuals: readonly number[] } | null {
  const forwards = fitted(x, y);
  const turned = fitted(x.map((v) => -v).reverse(), [...y].reverse());
  if (!forwards || (turned && turned.rss < forwards.rss)) return turned && { rss: turned.rss, residuals: [...turned.residuals].reverse() };
  return forwards;
}

function fitted(x: readonly number[], y: readonly number[]): { rss: number; residuals: number[] } | null {
  const yMean = mean(y);
  const best = { k: -1, xMean: 0, slope: 0, rss: Infinity };
  eachBend(x, y, yMean, (k, xMean, slope, _sxx, rss) => {
    if (rss < best.rss) [best.k, best.xMean, best.slope, best.rss] = [k, xMean, slope, rss];
  });
  if (best.k < 0) return null;
  return { rss: best.rss, residuals: y.map((v, i) => v - yMean - best.slope * (Math.max(0, x[i] - x[best.k]) - best.xMean)) };
}
