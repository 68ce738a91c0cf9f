import { setImmediate } from "node:timers/promises";
import { isDeepStrictEqual } from "node:util";
import { advise, outlierOf, type Advice, type AdvisedValue } from "../../../core/trend/advice.ts";
import type { Left } from "../../../core/trend/forecast.ts";
import { findOutliers } from "../../../core/trend/outliers.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { JudgedValue } from "../library/judgedValues.ts";
import type { Library } from "../library/library.ts";
import type { Series } from "../library/series.ts";
import { placeEvents } from "./eventRows.ts";
import { baselineOf, limitOf, numbersOf, trendOfRows, type RunTrend } from "./trendOfRun.ts";

/** A value whose mean is on its way to a limit. */
export interface Warning {
  readonly value: JudgedValue;
  readonly limit: number;
  readonly per100: number;
  readonly left: Left;
}

/** A check that stands out from its neighbours, in one value or by one of its marks. */
export interface OddCheck {
  readonly checkId: number;
  readonly sheet: string | null;
  readonly value?: JudgedValue;
  readonly off?: number;
  readonly mark?: string;
}

export interface AdviceOfRun {
  readonly advice: Advice;
  /** The soonest first. */
  readonly warnings: readonly Warning[];
  readonly odd: readonly OddCheck[];
}

const ADVISED: readonly AdvisedValue[] = ["offsetX", "offsetY", "rotation", "skew", "scaleX", "scaleY"];
/** Checks at the end of the run whose marks are looked at. */
const LOOKED_AT = 12;

/** Directions by name: the screens put them into the shop's words. */
const NAMED_AXES = { plusX: "plusX", minusX: "minusX", plusY: "plusY", minusY: "minusY" };

/** What to do now at a run, why, and what is coming. @throws LibraryFault "not-found" */
export async function adviceOfRun(library: Library, runId: number): Promise<AdviceOfRun> {
  const { job, rows, trends } = await trendsOfRun(library, runId);
  const events = placeEvents(await library.events.ofRun(runId), rows).flatMap(({ event, at }) => (at === null ? [] : [{ at, kind: event.kind }]));
  const given = Object.fromEntries(ADVISED.map((value) => [value, { trend: trends[value].trend, values: numbersOf(rows, value) }]));
  const bySheet = trends.position.orderedBy === "sheet";
  const named = { at: bySheet ? "sheet" as const : "row" as const, of: (row: number) => (bySheet ? (rows.sheet[row - 1] ?? String(row)) : String(row)) };
  return { advice: advise(job, given, { axes: NAMED_AXES, named, events }), warnings: warningsOf(job, trends), odd: [...oddValues(rows, trends), ...(await oddMarks(library, rows))] };
}

/** A run as advice, sampling and set-aside look at it. */
export interface TrendsOfRun {
  readonly job: Job;
  readonly baseline: ReturnType<typeof baselineOf>;
  readonly rows: Series;
  readonly trends: Readonly<Record<AdvisedValue | "position", RunTrend>>;
}

/** What was worked out last, by library: a run's page asks for it three times over, and for 10,000 checks it takes half a second. */
const lately = new WeakMap<Library, { readonly runId: number; readonly stamp: string; readonly found: Promise<TrendsOfRun> }>();

/**
 * The trends of all values that advice goes by, from one reading of the run; kept until anything is written, and then still where it did not concern the run's
 * figures (a decision, a name). @throws LibraryFault "not-found"
 */
export function trendsOfRun(library: Library, runId: number): Promise<TrendsOfRun> {
  const { stamp } = library;
  const last = lately.get(library);
  if (last?.runId === runId && last.stamp === stamp) return last.found;
  const found = readTrends(library, runId, last?.runId === runId ? last.found : undefined);
  lately.set(library, { runId, stamp, found });
  return found;
}

async function readTrends(library: Library, runId: number, before?: Promise<TrendsOfRun>): Promise<TrendsOfRun> {
  const run = await library.runs.get(runId);
  const { job } = await library.jobs.version(run.jobVersionId);
  const values = [...ADVISED, "position"] as const;
  const rows = await library.checks.series(runId, { values });
  const baseline = baselineOf(run);
  const last = await before?.catch(() => undefined);
  if (last && isDeepStrictEqual([last.rows, last.job, last.baseline], [rows, job, baseline])) return last;
  const trends: Partial<Record<AdvisedValue | "position", RunTrend>> = {};
  for (const value of values) {
    trends[value] = trendOfRows(rows, job, { value, baseline });
    // Seven trends of a long run take a second: whoever asks for something else meanwhile does not wait for all of them.
    await setImmediate();
  }
  return { job, baseline, rows, trends: trends as Record<AdvisedValue | "position", RunTrend> };
}

function warningsOf(job: Job, trends: Readonly<Record<string, RunTrend>>): Warning[] {
  return (Object.entries(trends) as [JudgedValue, RunTrend][]).flatMap(([value, { trend }]) => {
    const limit = limitOf(job, value);
    return limit !== undefined && trend.drift?.left ? [{ value, limit, per100: trend.drift.per100, left: trend.drift.left }] : [];
  }).sort((a, b) => a.left.value - b.left.value);
}

function oddValues(rows: Series, trends: Readonly<Record<string, RunTrend>>): OddCheck[] {
  return (Object.entries(trends) as [JudgedValue, RunTrend][]).filter(([value]) => value !== "position").flatMap(([value, { trend }]) =>
    findOutliers(numbersOf(rows, value), trend.sigmaWithin ?? 0).map(({ at, off }) => ({ checkId: rows.checkId[at - 1], sheet: rows.sheet[at - 1], value, off })));
}

async function oddMarks(library: Library, { checkId, sheet }: Series): Promise<OddCheck[]> {
  const odd: OddCheck[] = [];
  for (let i = Math.max(0, checkId.length - LOOKED_AT); i < checkId.length; i++) {
    const { record } = await library.checks.outcome(checkId[i]);
    const mark = outlierOf(record.marks)?.with?.value;
    if (mark !== undefined) odd.push({ checkId: checkId[i], sheet: sheet[i], mark });
  }
  return odd;
}
