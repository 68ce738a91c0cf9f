import { normalCdf } from "../statistics/distributions.ts";
import { discordantPairs } from "./inversions.ts";

/** Mann-Kendall test for a monotone trend. */
export interface MannKendall {
  /** Pairs that rise minus pairs that fall. */
  readonly s: number;
  /** Variance of s without a trend, corrected for ties. */
  readonly variance: number;
  /** (|s| - 1) / sqrt(variance) with the sign of s. */
  readonly z: number;
  /** Two-sided; exact for up to 40 values without ties, else by the normal approximation. */
  readonly p: number;
  /** Kendall's tau-b. */
  readonly tau: number;
}

/**
 * Mann (1945), Kendall (1975); ties by Kendall's general formula, so that repeated x are allowed. O(n log n). Null for
 * fewer than three values, or where all x or all y are the same.
 */
export function mannKendall(x: readonly number[], y: readonly number[]): MannKendall | null {
  const n = x.length;
  const order = Array.from({ length: n }, (_, i) => i).sort((a, b) => x[a] - x[b] || y[a] - y[b]);
  const xs = order.map((i) => x[i]);
  const ys = order.map((i) => y[i]);
  const sortedY = Float64Array.from(ys).sort();
  const tiesX = groups(n, (i) => xs[i] === xs[i - 1]);
  const tiesY = groups(n, (i) => sortedY[i] === sortedY[i - 1]);
  const both = groups(n, (i) => xs[i] === xs[i - 1] && ys[i] === ys[i - 1]);
  const pairs = (sizes: readonly number[]): number => sizes.reduce((sum, t) => sum + (t * (t - 1)) / 2, 0);
  const all = (n * (n - 1)) / 2;
  const [usableX, usableY] = [all - pairs(tiesX), all - pairs(tiesY)];
  if (n < 3 || usableX === 0 || usableY === 0) return null;
  const s = usableX - pairs(tiesY) + pairs(both) - 2 * discordantPairs(Float64Array.from(ys));
  const variance = varianceOf(n, tiesX, tiesY);
  const z = (Math.sign(s) * Math.max(0, Math.abs(s) - 1)) / Math.sqrt(variance);
  const tieless = tiesX.length + tiesY.length === 0;
  const p = tieless && n <= 40 ? exactP(Math.abs(s), n) : Math.min(1, 2 * normalCdf(-Math.abs(z)));
  return { s, variance, z, p, tau: s / Math.sqrt(usableX * usableY) };
}

/** Sizes of the groups with more than one member, where `joins(i)` tells whether i belongs with i - 1. */
function groups(n: number, joins: (i: number) => boolean): number[] {
  const sizes: number[] = [];
  for (let i = 1, size = 1; i <= n; i++) {
    if (i < n && joins(i)) {
      size++;
      continue;
    }
    if (size > 1) sizes.push(size);
    size = 1;
  }
  return sizes;
}

function varianceOf(n: number, tiesX: readonly number[], tiesY: readonly number[]): number {
  const sum = (sizes: readonly number[], f: (t: number) => number): number => sizes.reduce((total, t) => total + f(t), 0);
  const five = (t: number): number => t * (t - 1) * (2 * t + 5);
  const three = (t: number): number => t * (t - 1) * (t - 2);
  const two = (t: number): number => t * (t - 1);
  return (
    (five(n) - sum(tiesX, five) - sum(tiesY, five)) / 18 +
    (sum(tiesX, three) * sum(tiesY, three)) / (9 * three(n)) +
    (sum(tiesX, two) * sum(tiesY, two)) / (2 * two(n))
  );
}

/** Probability of |S| >= s for n values without ties and without trend: the counts of inversions of all orders of n. */
function exactP(s: number, n: number): number {
  if (s === 0) return 1;
  let share = [1];
  for (let k = 2; k <= n; k++) {
    const next = new Array<number>(share.length + k - 1).fill(0);
    for (let i = 0; i < share.length; i++) for (let j = 0; j < k; j++) next[i + j] += share[i] / k;
    share = next;
  }
  const most = (n * (n - 1)) / 2;
  let tail = 0;
  for (let inversions = 0; most - 2 * inversions >= s; inversions++) tail += share[inversions];
  return Math.min(1, 2 * tail);
}
