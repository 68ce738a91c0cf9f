import { normalCdf, normalDensity, normalQuantile, tCdf } from "../statistics/distributions.ts";
import { bestBend } from "./bend.ts";
import { mean } from "./individuals.ts";

/** A change of level. */
export interface Change {
  /** Index into the values, from 0, of the first one at the new level. */
  readonly at: number;
  /** New level minus old one. */
  readonly shift: number;
  /** Probability that values without a change would show one as clear, anywhere. */
  readonly p: number;
}

/** A change is named where its p is below this. */
const ALPHA = 0.01;
/** A drift that begins or ends on the way is believed in the place of a step where twice its log-likelihood is higher by this. */
const BEND = 4;
/** Values on either side of a change, at least. */
const LEAST = 4;

/**
 * Changes of level in the order of the values, by binary segmentation; each place is then found again between its
 * neighbours. A part that a drift (all along, or beginning or ending on the way) explains better than a step is not cut,
 * unless a step stands out from the drift.
 *
 * Statistic: the largest two-sample t over all places. p by the tail of a maximum of correlated normals (James, James and
 * Siegmund 1987; Siegmund's nu for the discrete steps), after carrying t to a normal score; checked by simulation in the tests.
 */
export function findChanges(x: readonly number[], y: readonly number[]): Change[] {
  const places: number[] = [];
  const search = (from: number, to: number): void => {
    const found = bestChange(x, y, from, to);
    if (!found || found.p >= ALPHA) return;
    places.push(found.at);
    search(from, found.at);
    search(found.at, to);
  };
  search(0, y.length);
  places.sort((a, b) => a - b);
  const changes: Change[] = [];
  for (const [i] of places.entries()) {
    const again = bestChange(x, y, changes.at(-1)?.at ?? 0, places[i + 1] ?? y.length);
    if (again && again.p < ALPHA) changes.push(again);
  }
  return changes;
}

/** The clearest change among values from..to (exclusive), by level alone, or beside a drift where a drift explains more. */
export function bestChange(x: readonly number[], y: readonly number[], from: number, to: number): Change | null {
  if (to - from < 2 * LEAST) return null;
  const [xs, ys] = [x.slice(from, to), y.slice(from, to)];
  const level = scan(xs, ys, false);
  const drift = scan(xs, ys, true);
  if (!level || !drift) return null;
  // A drift beside the step where the values ask for it; else a step where it explains more than a drift alone does.
  const dof = to - from - 3;
  const t = Math.sqrt((Math.max(0, level.rss - drift.rss) * dof) / Math.max(drift.rss, Number.MIN_VALUE));
  const beside = drift.p < ALPHA && 2 * tCdf(-t, dof) < ALPHA / 10;
  const chosen = beside || level.rss > drift.rssWithout ? drift : level;
  const step = { at: from + chosen.k, shift: chosen.shift, p: chosen.p };
  if (chosen.p >= ALPHA) return step;
  const bend = bestBend(xs, ys);
  if (!bend || (to - from) * Math.log(chosen.rss / bend.rss) < BEND) return step;
  const left = scan(xs, bend.residuals, false);
  return left && { at: from + left.k, shift: left.shift, p: left.p };
}

interface Scan {
  readonly k: number;
  readonly shift: number;
  readonly p: number;
  readonly rss: number;
  readonly rssWithout: number;
}

/**
 * Best step at k in y = level (+ drift) + step [i >= k]. With r the step's own part left by level and drift, and e the
 * residuals without a step: shift = sum_(i >= k) e_i / |r|^2, and the step takes shift^2 |r|^2 off the residual sum.
 */
function scan(x: readonly number[], y: readonly number[], withDrift: boolean): Scan | null {
  const n = y.length;
  const [xMean, yMean] = [mean(x), mean(y)];
  let [sxx, sxy] = [0, 0];
  for (let i = 0; i < n; i++) {
    sxx += (x[i] - xMean) ** 2;
    sxy += (x[i] - xMean) * (y[i] - yMean);
  }
  if (withDrift && !(sxx > 0)) return null;
  const slope = withDrift ? sxy / sxx : 0;
  const residual = y.map((v, i) => v - yMean - slope * (x[i] - xMean));
  const rssWithout = residual.reduce((sum, e) => sum + e * e, 0);
  const own = new Float64Array(n);
  let [tail, tailX, best] = [0, 0, { k: -1, gain: 0, shift: 0 }];
  for (let k = n - 1; k >= LEAST; k--) {
    tail += residual[k];
    tailX += x[k] - xMean;
    if (k > n - LEAST) continue;
    own[k] = ((n - k) * k) / n - (withDrift ? (tailX * tailX) / sxx : 0);
    if (!(own[k] > 1e-9)) continue;
    const gain = (tail * tail) / own[k];
    if (gain > best.gain) best = { k, gain, shift: tail / own[k] };
  }
  const dof = n - (withDrift ? 3 : 2);
  if (best.k < 0 || dof < 1) return null;
  const rss = Math.max(0, rssWithout - best.gain);
  const t = rss > 1e-14 * best.gain ? Math.sqrt((best.gain * dof) / rss) : Infinity;
  return { k: best.k, shift: best.shift, p: anywhere(normalScore(t, dof), own), rss, rssWithout };
}

/** The z with the same tail as t. */
function normalScore(t: number, dof: number): number {
  const tail = t === Infinity ? 0 : tCdf(-t, dof);
  return tail > 1e-300 ? -normalQuantile(tail) : 37;
}

/**
 * P(max |Z_k| > b) for standard normal Z_k with corr(Z_k, Z_(k+1)) = 1 - 1/(2 own_k):
 * 2 Phi(-b) + b phi(b) sum nu(b / sqrt(own_k)) / own_k.
 */
function anywhere(b: number, own: Float64Array): number {
  let sum = 0;
  for (const v of own) if (v > 1e-9) sum += nu(b / Math.sqrt(v)) / v;
  return Math.min(1, 2 * normalCdf(-b) + b * normalDensity(b) * sum);
}

/** Siegmund's correction for looking at steps only, by the closed approximation of Siegmund and Yakir. */
function nu(x: number): number {
  const half = x / 2;
  return ((2 / x) * (normalCdf(half) - 0.5)) / (half * normalCdf(half) + normalDensity(half));
}
