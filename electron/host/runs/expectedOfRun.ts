import { expectedBad, type ExpectedBad } from "../../../core/setaside/expected.ts";
import type { SheetRange } from "../../../core/setaside/ranges.ts";
import { randomOf } from "../../../core/sample/random.ts";
import type { JudgedValue } from "../library/judgedValues.ts";
import { limitOf, numbersOf, type RunTrend } from "./trendOfRun.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { Series } from "../library/series.ts";

/** Bad sheets to be expected among the suspects, and the value that makes most of them. */
export interface ExpectedOfRun extends ExpectedBad {
  readonly by: JudgedValue;
}

/** Checks near a suspect range from which its course is taken. */
const NEAR = 16;

/**
 * How many bad sheets are to be expected among the suspects, by the one value that spoils most of them. A range's course is a straight line through the nearest
 * checks on its side of each change of level, since a line through the whole run would miss what went wrong here. Null where no sheet is numbered, nothing is suspect or
 * too little was checked.
 */
export function expectedOfRun(job: Job, rows: Series, trends: Readonly<Record<string, RunTrend>>, suspects: readonly SheetRange[]): ExpectedOfRun | null {
  if (suspects.length === 0) return null;
  const each = (Object.entries(trends) as [JudgedValue, RunTrend][]).flatMap(([value, { trend }]) => {
    const limit = limitOf(job, value);
    if (limit === undefined) return [];
    const checks = numbersOf(rows, value).flatMap((v, i) => (rows.sheetNumber[i] === null || Number.isNaN(v) ? [] : [{ sheet: rows.sheetNumber[i] as number, value: v }]));
    const steps = trend.changes.map((c) => rows.sheetNumber[c.at - 1] ?? Infinity);
    const found = inAll(checks, limit, suspects, steps);
    return found ? [{ ...found, by: value }] : [];
  });
  return each.reduce<ExpectedOfRun | null>((most, e) => (most === null || e.expected > most.expected ? e : most), null);
}

interface Check {
  readonly sheet: number;
  readonly value: number;
}

interface Sum {
  readonly suspects: number;
  readonly expected: number;
  readonly below: number;
  readonly above: number;
}

function inAll(checks: readonly Check[], limit: number, suspects: readonly SheetRange[], steps: readonly number[]): ExpectedBad | null {
  const random = randomOf(1);
  let total: Sum | null = null;
  for (const range of suspects.flatMap((r) => parted(r, steps))) {
    const found = expectedBad(...columns(nearest(checks, range, steps)), limit, [range], () => random.next());
    if (!found) continue;
    const sum: Sum = total ?? { suspects: 0, expected: 0, below: 0, above: 0 };
    // Ranges are told apart by checks between them: their doubts are taken as independent.
    total = {
      suspects: sum.suspects + found.suspects, expected: sum.expected + found.expected,
      below: Math.hypot(sum.below, found.expected - found.low), above: Math.hypot(sum.above, found.high - found.expected),
    };
  }
  return total && { suspects: total.suspects, expected: total.expected, low: Math.max(0, total.expected - total.below), high: Math.min(total.suspects, total.expected + total.above) };
}

/** The range, cut where the level changes inside it. */
function parted(range: SheetRange, steps: readonly number[]): SheetRange[] {
  const inside = steps.filter((s) => s > range.from && s <= range.to);
  return [range.from, ...inside].map((from, i) => ({ from, to: (inside[i] ?? range.to + 1) - 1 }));
}

function nearest(checks: readonly Check[], { from, to }: SheetRange, steps: readonly number[]): Check[] {
  const level = (sheet: number): number => steps.filter((s) => s <= sheet).length;
  const byDistance = [...checks].sort((a, b) => distance(a.sheet) - distance(b.sheet));
  const own = byDistance.filter((c) => level(c.sheet) === level(from)).slice(0, NEAR);
  return own.length >= 3 ? own : byDistance.slice(0, NEAR);

  function distance(sheet: number): number {
    return Math.max(0, from - sheet, sheet - to);
  }
}

const columns = (checks: readonly Check[]): [number[], number[]] => [checks.map((c) => c.sheet), checks.map((c) => c.value)];
