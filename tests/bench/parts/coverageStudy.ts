import { conformity } from "../../../core/judge/conformity.ts";
import { verdictOf } from "../../../core/judge/judge.ts";
import { randomOf, seedOf } from "../../../core/sample/random.ts";
import { lensUncertainty } from "./lensUncertainty.ts";
import { simulateSheet, type Breach, type Kind, type SimulatedSheet } from "./simulatedSheet.ts";

/** Values whose intervals are looked at; `offset` is both components, `length` the offset's length, `scale` both stretches. */
export const QUANTITIES = ["offset", "length", "rotation", "skew", "scale", "worst"] as const;
export type Quantity = (typeof QUANTITIES)[number];

export interface Coverage {
  readonly sheets: number;
  /** Sheets that did not solve. */
  readonly lost: number;
  /** Share of intervals value +- U that hold the truth, and root mean square of error / standard uncertainty (1 where U is right). */
  readonly held: Readonly<Record<Quantity, number>>;
  readonly ratio: Readonly<Record<Quantity, number>>;
  /** Median U: mm, mm/m. */
  readonly U: Readonly<Record<Quantity, number>>;
  /** Verdicts of the worst place against limits within 1.5 U of the truth: how many `in`, and of them truly out; and the other way. */
  readonly in: number;
  readonly outAmongIn: number;
  readonly out: number;
  readonly inAmongOut: number;
}

interface Pair {
  readonly error: number;
  readonly U: number;
}

/** Coverage over sheets `from` to `from + n - 1` of a kind. A limit is drawn for each near its true worst place, without a look at what was measured. */
export function coverageOf(kind: Kind, n: number, seed: number, breach: Breach = {}, from = 0): Coverage {
  const lenses = lensUncertainty(randomOf(7));
  const pairs: Record<Quantity, Pair[]> = { offset: [], length: [], rotation: [], skew: [], scale: [], worst: [] };
  const counts = { in: 0, outAmongIn: 0, out: 0, inAmongOut: 0 };
  let lost = 0;
  for (let i = from; i < from + n; i++) {
    const sheet = simulateSheet(kind, i, seed, lenses, breach);
    if (!sheet) {
      lost++;
      continue;
    }
    collect(sheet, pairs);
    judgeNear(sheet, randomOf(seedOf(seed, 77, i)).between(-1.5, 1.5), counts);
  }
  const each = (f: (pairs: readonly Pair[]) => number): Record<Quantity, number> =>
    Object.fromEntries(QUANTITIES.map((q) => [q, f(pairs[q])])) as Record<Quantity, number>;
  return {
    sheets: n, lost, ...counts,
    held: each((list) => list.filter((p) => Math.abs(p.error) <= p.U).length / list.length),
    ratio: each((list) => Math.sqrt(list.reduce((s, p) => s + (2 * p.error / p.U) ** 2, 0) / list.length)),
    U: each((list) => list.map((p) => p.U).sort((a, b) => a - b)[list.length >> 1]),
  };
}

function collect({ record, truth }: SimulatedSheet, pairs: Record<Quantity, Pair[]>): void {
  const { offset, rotation, skew, scale, worst } = record;
  pairs.offset.push({ error: offset.x - truth.offset.x, U: offset.U }, { error: offset.y - truth.offset.y, U: offset.U });
  pairs.length.push({ error: offset.length - truth.offset.length, U: offset.U });
  pairs.rotation.push({ error: rotation.value - truth.rotation, U: rotation.U });
  pairs.skew.push({ error: skew.value - truth.skew, U: skew.U });
  pairs.scale.push({ error: scale.x - truth.scale.x, U: scale.U }, { error: scale.y - truth.scale.y, U: scale.U });
  pairs.worst.push({ error: Math.abs(worst.value) - truth.worst, U: worst.U });
}

/** Judges the worst place against a limit `at` U from the truth. */
function judgeNear({ record, truth }: SimulatedSheet, at: number, counts: { in: number; outAmongIn: number; out: number; inAmongOut: number }): void {
  const { value, U } = record.worst;
  const limit = truth.worst + at * U;
  if (!(limit > 0)) return;
  const verdict = verdictOf(conformity(value, U / 2, limit));
  if (verdict === "in") {
    counts.in++;
    if (truth.worst > limit) counts.outAmongIn++;
  } else if (verdict === "out") {
    counts.out++;
    if (truth.worst <= limit) counts.inAmongOut++;
  }
}
