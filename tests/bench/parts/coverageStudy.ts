import { conformity } from "../../../core/judge/conformity.ts";
import { verdictOf } from "../../../core/judge/judge.ts";
import { randomOf, seedOf } from "../../../core/sample/random.ts";
import { lensUncertainty } from "./lensUncertainty.ts";
import { simulateSheet, type Breach, type Kind, type SimulatedSheet } from "./simulatedSheet.ts";

/** Values whose intervals are looked at; `offset` is both components, `scale` both stretches; `worst` has the blade's own wander in its truth, `of map` not. */
export const QUANTITIES = ["offset", "rotation", "skew", "scale", "worst", "of map"] as const;
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
  /** Sheets said to stand up in waves. */
  readonly wavy: number;
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

/** The first `n` sheets of a kind; null for those that did not solve. */
export function sheetsOf(kind: Kind, n: number, seed: number, breach: Breach = {}): (SimulatedSheet | null)[] {
  const lenses = lensUncertainty(randomOf(7));
  return Array.from({ length: n }, (_, i) => simulateSheet(kind, i, seed, lenses, breach));
}

/**
 * Coverage over some sheets. A limit is drawn for each near its true worst place, without a look at what was measured. With `narrowed` below 1
 * every U is taken that much smaller: a negative control.
 */
export function coverageOf(sheets: readonly (SimulatedSheet | null)[], narrowed = 1): Coverage {
  const pairs: Record<Quantity, Pair[]> = { offset: [], rotation: [], skew: [], scale: [], worst: [], "of map": [] };
  const counts = { in: 0, outAmongIn: 0, out: 0, inAmongOut: 0 };
  sheets.forEach((sheet, i) => {
    if (!sheet) return;
    collect(sheet, pairs, narrowed);
    judgeNear(sheet, randomOf(seedOf(77, i)).between(-1.5, 1.5), counts, narrowed);
  });
  const each = (f: (pairs: readonly Pair[]) => number): Record<Quantity, number> =>
    Object.fromEntries(QUANTITIES.map((q) => [q, f(pairs[q])])) as Record<Quantity, number>;
  return {
    sheets: sheets.length, lost: sheets.filter((s) => s === null).length, wavy: sheets.filter((s) => s?.record.warnings.some((w) => w.includes("in waves"))).length, ...counts,
    held: each((list) => list.filter((p) => Math.abs(p.error) <= p.U).length / list.length),
    ratio: each((list) => Math.sqrt(list.reduce((s, p) => s + (2 * p.error / p.U) ** 2, 0) / list.length)),
    U: each((list) => list.map((p) => p.U).sort((a, b) => a - b)[list.length >> 1]),
  };
}

function collect({ record, truth }: SimulatedSheet, pairs: Record<Quantity, Pair[]>, narrowed: number): void {
  const { offset, rotation, skew, scale, worst } = record;
  pairs.offset.push({ error: offset.x - truth.offset.x, U: narrowed * offset.U }, { error: offset.y - truth.offset.y, U: narrowed * offset.U });
  pairs.rotation.push({ error: rotation.value - truth.rotation, U: narrowed * rotation.U });
  pairs.skew.push({ error: skew.value - truth.skew, U: narrowed * skew.U });
  pairs.scale.push({ error: scale.x - truth.scale.x, U: narrowed * scale.U }, { error: scale.y - truth.scale.y, U: narrowed * scale.U });
  pairs.worst.push({ error: Math.abs(worst.value) - truth.worst, U: narrowed * worst.U });
  pairs["of map"].push({ error: Math.abs(worst.value) - truth.worstOfMap, U: narrowed * worst.U });
}

/** Judges the worst place against a limit `at` U from the truth. */
function judgeNear({ record, truth }: SimulatedSheet, at: number, counts: { in: number; outAmongIn: number; out: number; inAmongOut: number }, narrowed: number): void {
  const { value, U } = record.worst;
  const limit = truth.worst + at * U;
  if (!(limit > 0)) return;
  const verdict = verdictOf(conformity(value, (narrowed * U) / 2, limit));
  if (verdict === "in") {
    counts.in++;
    if (truth.worst > limit) counts.outAmongIn++;
  } else if (verdict === "out") {
    counts.out++;
    if (truth.worst <= limit) counts.inAmongOut++;
  }
}
