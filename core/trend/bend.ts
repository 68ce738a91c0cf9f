import { mean } from "./individuals.ts";
import type { Line } from "./line.ts";

/** A drift that began at x = `since` (the first x where it ran all along): y = line over max(0, x - since). */
export interface Hinge {
  readonly since: number;
  readonly line: Line;
}

/** Fits of all drifts that began at one of the x and have five values after it, by running sums. */
export function bends(x: readonly number[], y: readonly number[]): Hinge[] {
  const n = x.length;
  const [origin, yMean] = [x[n - 1], mean(y)];
  const syy = y.reduce((sum, v) => sum + (v - yMean) ** 2, 0);
  const hinges: Hinge[] = [];
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
    hinges.push({ since: x[k], line: { n, xMean: su / n, yMean, slope, sxx, rss: Math.max(0, syy - slope * suy) } });
  }
  return hinges;
}

/** The level course with one bend that fits best: level and then drifting, or drifting and then level; its residuals by value. Null for too few values. */
export function bestBend(x: readonly number[], y: readonly number[]): { readonly rss: number; readonly residuals: readonly number[] } | null {
  const forwards = fitted(x, y);
  const turned = fitted(x.map((v) => -v).reverse(), [...y].reverse());
  if (!forwards || (turned && turned.rss < forwards.rss)) return turned && { rss: turned.rss, residuals: [...turned.residuals].reverse() };
  return forwards;
}

function fitted(x: readonly number[], y: readonly number[]): { rss: number; residuals: number[] } | null {
  const hinges = bends(x, y);
  if (hinges.length === 0) return null;
  const { since, line } = hinges.reduce((best, h) => (h.line.rss < best.line.rss ? h : best));
  return { rss: line.rss, residuals: y.map((v, i) => v - line.yMean - line.slope * (Math.max(0, x[i] - since) - line.xMean)) };
}
