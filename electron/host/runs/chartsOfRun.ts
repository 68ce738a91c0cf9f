import type { Verdict } from "../../../core/check/record.ts";
import { matchEvents } from "../../../core/trend/events.ts";
import { findOutliers } from "../../../core/trend/outliers.ts";
import type { Signal, Trend } from "../../../core/trend/trend.ts";
import type { RunEvent } from "../library/events.ts";
import type { JudgedValue } from "../library/judgedValues.ts";
import type { Library } from "../library/library.ts";
import { placeEvents } from "./eventRows.ts";
import { trendOfRun, type RunTrend, type RunTrendOptions } from "./trendOfRun.ts";

/** One judged value over a run, ready to be drawn: row i (from 0) of every list is one checked sheet. */
export interface ChartsOfRun extends Pick<RunTrend, "order" | "orderedBy" | "limits" | "unit"> {
  readonly value: JudgedValue;
  readonly second: JudgedValue | null;
  readonly sheets: readonly (string | null)[];
  readonly checkIds: readonly number[];
  readonly verdicts: readonly Verdict[];
  readonly takenAt: readonly string[];
  readonly values: readonly (number | null)[];
  readonly secondValues: readonly (number | null)[] | null;
  readonly U: readonly (number | null)[];
  /** Figures to nine decimals; `signals` below hold what the trend has in its own list. */
  readonly statistics: Omit<Trend, "signals">;
  /** Signals by chart and rule, each with its rows from 1: a long run that has moved has tens of thousands. */
  readonly signals: readonly SignalGroup[];
  /** Rows, from 1, whose value neither a drift nor a step explains. */
  readonly outliers: readonly number[];
  /** Events with the first row after them. */
  readonly events: readonly { readonly event: RunEvent; readonly at: number | null }[];
  /** Changes of level, each with the event beside it where there is one. */
  readonly changes: readonly { readonly at: number; readonly shift: number; readonly p: number; readonly event: RunEvent | null }[];
}

export interface SignalGroup extends Pick<Signal, "chart" | "rule"> {
  readonly at: readonly number[];
}

/** @throws LibraryFault "not-found" */
export async function chartsOfRun(library: Library, runId: number, options: RunTrendOptions): Promise<ChartsOfRun> {
  const { value, second } = options;
  const { trend: { signals, ...statistics }, rows, ...axes } = await trendOfRun(library, runId, options);
  const events = placeEvents(await library.events.ofRun(runId), rows);
  const placed = events.flatMap(({ event, at }) => (at === null ? [] : [{ event, at }]));
  const values = rows.values[value] ?? [];
  return {
    ...axes, value, second: second ?? null, sheets: rows.sheet, checkIds: rows.checkId, verdicts: rows.verdict, takenAt: rows.takenAt,
    values, secondValues: second ? (rows.values[second] ?? []) : null, U: rows.U[value] ?? [], statistics: brief(statistics),
    signals: grouped(signals),
    outliers: findOutliers(values.map((v) => v ?? NaN), statistics.sigmaWithin ?? 0).map((o) => o.at), events,
    changes: matchEvents(statistics.changes, placed).flatMap(({ change, event }) => (change ? [{ ...change, event: event?.event ?? null }] : [])),
  };
}

function grouped(signals: readonly Signal[]): SignalGroup[] {
  const groups: { chart: Signal["chart"]; rule: string; at: number[] }[] = [];
  // A handful of groups and tens of thousands of signals: looking along the groups is quicker than making a key of each signal.
  for (const { chart, rule, at } of signals) {
    const group = groups.find((g) => g.rule === rule && g.chart === chart);
    if (group) group.at.push(at);
    else groups.push({ chart, rule, at: [at] });
  }
  return groups;
}

/** The long lists to a millionth of a micrometre: half of the bytes, and far finer than any reading. */
function brief(t: Omit<Trend, "signals">): Omit<Trend, "signals"> {
  const nine = <V extends number | null>(list: readonly V[]): V[] => list.map((v) => (v === null ? v : (Math.round(v * 1e9) / 1e9 as V)));
  const curve = <C extends { values: readonly (number | null)[]; lcl: readonly number[]; ucl: readonly number[] }>(c: C): C => ({ ...c, values: nine(c.values), lcl: nine(c.lcl), ucl: nine(c.ucl) });
  return {
    ...t, ...(t.ewma && { ewma: curve(t.ewma) }), ...(t.driftChart && { driftChart: curve(t.driftChart) }),
    ...(t.cusum && { cusum: { ...t.cusum, high: nine(t.cusum.high), low: nine(t.cusum.low) } }), ...(t.t2 && { t2: { ...t.t2, values: nine(t.t2.values) } }),
  };
}
