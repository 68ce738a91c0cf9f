import { discordantPairs, visitDiscordantPairs } from "./inversions.ts";
import { orderOf } from "./order.ts";

/** Pairs of the sample for each point. */
const SAMPLED = 4;
/** Multiples of the golden section, less their whole part, fill the interval from 0 to 1 evenly. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * Slopes of all pairs of points with different x, ready to be picked by rank. Ranks count from 1. Picking costs
 * O(n log n) without writing the slopes down: the number of slopes below a value b is the number of pairs whose order in
 * y - b x is reversed, and once few slopes are left between two values they are listed and sorted.
 */
class PairSlopes {
  readonly count: number;
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #bound: number;

  constructor(x: readonly number[], y: readonly number[]) {
    const order = Array.from({ length: x.length }, (_, i) => i).sort((a, b) => x[a] - x[b] || y[a] - y[b]);
    this.#x = Float64Array.from(order, (i) => x[i] - x[order[0]]);
    this.#y = Float64Array.from(order, (i) => y[i] - y[order[0]]);
    let [same, run, gap] = [0, 1, Infinity];
    for (let i = 1; i < order.length; i++) {
      const step = this.#x[i] - this.#x[i - 1];
      run = step === 0 ? run + 1 : 1;
      same += run - 1;
      if (step > 0) gap = Math.min(gap, step);
    }
    this.count = (order.length * (order.length - 1)) / 2 - same;
    const spread = this.#y.reduce((top, v) => Math.max(top, v), -Infinity) - this.#y.reduce((low, v) => Math.min(low, v), Infinity);
    // No slope is steeper than the whole spread over the smallest gap.
    this.#bound = spread / gap;
  }

  /** The slopes of rank `rank` (1 is the lowest) and of the next one. */
  pick(rank: number): readonly [number, number] {
    const few = 8 * this.#x.length;
    let [low, high] = [-this.#bound * 1.000001 - Number.MIN_VALUE, this.#bound * 1.000001 + Number.MIN_VALUE];
    let [below, atMost] = [0, this.count];
    const cutAt = (cut: number): void => {
      if (!(cut > low && cut < high)) return;
      const under = this.#below(cut);
      if (under < rank) [low, below] = [cut, under];
      else [high, atMost] = [cut, under];
    };
    // First about the place that the rank has in a sample of all slopes: its own scatter there is a few thousandths.
    const sample = this.#sample();
    const p = rank / this.count;
    const sampleAt = (share: number): number => sample[Math.min(sample.length - 1, Math.max(0, Math.floor(share * sample.length)))];
    for (const reach of [0.01, 0.05, 0.2]) {
      if (atMost - below <= few || (below > 0 && atMost < this.count)) break;
      cutAt(sampleAt(p - reach));
      cutAt(sampleAt(p + reach));
    }
    for (let round = 0; round < 60 && atMost - below > few; round++) {
      // Where there are ties, one listed slope may hold most of what is left: cut on both sides of it, close by.
      const listed = round % 4 === 3 ? this.#listed(low, high, this.#x.length) : null;
      const guess = listed ? listed[listed.length >> 1] : low + ((high - low) * (rank - below)) / (atMost - below);
      const margin = listed ? 1e-12 * (Math.abs(guess) + this.#bound * 1e-3) : ((high - low) * few) / (3 * (atMost - below));
      cutAt(guess - margin);
      cutAt(guess + margin);
      if (listed && high - low <= 4 * margin) break;
    }
    const left = this.#listed(low, high);
    const i = Math.min(left.length, Math.max(1, rank - below)) - 1;
    if (i + 1 < left.length) return [left[i], left[i + 1]];
    // The next one lies beyond what was listed: it is the lowest one from `high` on, or equal where a tie was cut short.
    return [left[i], atMost > rank || rank === this.count ? left[i] : this.pick(rank + 1)[0]];
  }

  /** How many slopes lie below `b`. */
  #below(b: number): number {
    return discordantPairs(this.#keys(b));
  }

  #keys(b: number): Float64Array {
    const [x, y] = [this.#x, this.#y];
    const keys = new Float64Array(x.length);
    for (let i = 0; i < keys.length; i++) keys[i] = y[i] - b * x[i];
    return keys;
  }

  /** Sorted slopes of pairs spread evenly over all pairs. */
  #sample(): Float64Array {
    const [x, y] = [this.#x, this.#y];
    const n = x.length;
    const slopes: number[] = [];
    for (let k = 0; k < SAMPLED * n; k++) {
      const [i, j] = [k % n, Math.floor(((k * GOLDEN) % 1) * n)];
      if (x[i] !== x[j]) slopes.push((y[j] - y[i]) / (x[j] - x[i]));
    }
    return Float64Array.from(slopes.length > 0 ? slopes : [0]).sort();
  }

  /** Slopes between two values, sorted: all of them, or where there are very many the first few met. */
  #listed(low: number, high: number, most = 16 * this.#x.length): Float64Array {
    const [x, y] = [this.#x, this.#y];
    const atHigh = this.#keys(high);
    const order = orderOf(this.#keys(low));
    const inOrder = new Float64Array(x.length);
    const slopes: number[] = [];
    for (let i = 0; i < order.length; i++) inOrder[i] = atHigh[order[i]];
    visitDiscordantPairs(inOrder, (i, j) => {
      const [a, b] = [order[i], order[j]];
      if (x[a] !== x[b]) slopes.push((y[b] - y[a]) / (x[b] - x[a]));
      return slopes.length < most;
    });
    return Float64Array.from(slopes).sort();
  }
}

/**
 * Theil-Sen slope: the median of the slopes of all pairs with different x. O(n log n). Null where no two x differ.
 *
 * Sen (1968).
 */
export function theilSen(x: readonly number[], y: readonly number[]): number | null {
  const slopes = new PairSlopes(x, y);
  if (slopes.count === 0) return null;
  const [middle, next] = slopes.pick(Math.ceil(slopes.count / 2));
  return slopes.count % 2 === 1 ? middle : (middle + next) / 2;
}
