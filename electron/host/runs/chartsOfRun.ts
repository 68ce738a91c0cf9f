import type { Verdict } from "../../../core/check/record.ts";
import { matchEvents } from "../../../core/trend/events.ts";
import { findOutliers } from "../../../core/trend/outliers.ts";
import type { Trend } from "../../../core/trend/trend.ts";
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
  readonly statistics: Trend;
  /** Rows, from 1, whose value neither a drift nor a step explains. */
  readonly outliers: readonly number[];
  /** Events with the first row after them. */
  readonly events: readonly { readonly event: RunEvent; readonly at: number | null }[];
  /** Changes of level, each with the event beside it where there is one. */
  readonly changes: readonly { readonly at: number; readonly shift: number; readonly p: number; readonly event: RunEvent | null }[];
}

/** @throws LibraryFault "not-found" */
export async function chartsOfRun(library: Library, runId: number, options: RunTrendOptions): Promise<ChartsOfRun> {
  const { value, second } = options;
  const { trend, rows, ...axes } = await trendOfRun(library, runId, options);
  const events = placeEvents(await library.events.ofRun(runId), rows);
  const placed = events.flatMap(({ event, at }) => (at === null ? [] : [{ event, at }]));
  const values = rows.values[value] ?? [];
  return {
    ...axes, value, second: second ?? null, sheets: rows.sheet, checkIds: rows.checkId, verdicts: rows.verdict, takenAt: rows.takenAt,
    values, secondValues: second ? (rows.values[second] ?? []) : null, U: rows.U[value] ?? [], statistics: trend,
    outliers: findOutliers(values.map((v) => v ?? NaN), trend.sigmaWithin ?? 0).map((o) => o.at), events,
    changes: matchEvents(trend.changes, placed).flatMap(({ change, event }) => (change ? [{ ...change, event: event?.event ?? null }] : [])),
  };
}
