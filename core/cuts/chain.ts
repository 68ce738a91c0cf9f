import type { Evidence } from "./evidence/evidence.ts";
import type { StripGrid } from "./strips/strip.ts";

/** Evidence of a chunk beyond this is not more convincing. */
export const MOST_CONVINCING = 10;
/** Cost of a step across between neighbouring chunks: (mm / this)^2. */
const STEP = 0.12;
/** Cost of leaving the common displacement: (mm / this)^2. */
const LEAVE = 0.9;

/**
 * The most convincing connected run across a subpath's chunks, by dynamic programming: evidence, less a cost for jumps
 * between neighbours, less a mild cost for leaving what all cuts agree on. Returns t per chunk in grid steps.
 *
 * @param aside a piece that lies aside, as `expected` says: at a corner its cut goes from one normal's share of that to the other's, which is no jump.
 */
export function chain(evidence: readonly Evidence[], expected: readonly number[], grid: StripGrid, closed: boolean, aside = false): number[] {
  const n = evidence.length;
  const turns = expected.map((t, k) => (aside ? Math.round((t - expected[(k + n - 1) % n]) / grid.step) : 0));
  const forward = run(evidence, expected, turns, grid, null);
  if (!closed || n < 3) return forward;
  // A ring: once more with the start tied to where the first run ended.
  return run(evidence, expected, turns, grid, forward[n - 1] + turns[0]);
}

function run(evidence: readonly Evidence[], expected: readonly number[], turns: readonly number[], grid: StripGrid, tie: number | null): number[] {
  const n = evidence.length;
  const width = grid.count;
  const span = Math.max(2, Math.round(0.4 / grid.step));
  const jumps = Float64Array.from({ length: 2 * span + 1 }, (_, i) => jump(i - span, grid));
  const back = new Int16Array(n * width);
  let current: Float64Array = new Float64Array(width);
  let previous: Float64Array = Float64Array.from({ length: width }, (_, t) => (tie === null ? 0 : -jump(t - tie, grid)));
  for (let k = 0; k < n; k++) {
    for (let t = 0; t < width; t++) {
      const straight = Math.max(0, Math.min(width - 1, t - turns[k]));
      const from = k === 0 ? t : bestBefore(previous, straight, span, jumps);
      const away = (t * grid.step - grid.reach - expected[k]) / LEAVE;
      current[t] = previous[from] - (k === 0 ? 0 : jumps[straight - from + span]) + Math.min(MOST_CONVINCING, evidence[k][t]) - away * away;
      back[k * width + t] = from;
    }
    [previous, current] = [current, previous];
  }
  const path = new Array<number>(n);
  let at = 0;
  for (let t = 1; t < width; t++) if (previous[t] > previous[at]) at = t;
  for (let k = n - 1; k >= 0; k--) {
    path[k] = at;
    at = back[k * width + at];
  }
  return path;
}

/** From which place of the chunk before it is best to come to place t. A function of its own: a compiler that enters a long loop midway has to leave it again at every turn. */
function bestBefore(previous: Float64Array, t: number, span: number, jumps: Float64Array): number {
  const last = Math.min(previous.length - 1, t + span);
  let at = Math.max(0, t - span);
  let best = previous[at] - jumps[t - at + span];
  for (let p = at + 1; p <= last; p++) {
    const v = previous[p] - jumps[t - p + span];
    if (v > best) {
      best = v;
      at = p;
    }
  }
  return at;
}

function jump(steps: number, grid: StripGrid): number {
  return ((steps * grid.step) / STEP) ** 2;
}
