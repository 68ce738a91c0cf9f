import { trend, type Trend, type TrendInput } from "../../../core/trend/trend.ts";
import type { Job, Tolerance } from "../../../core/job/schema.ts";
import type { JudgedValue } from "../library/judgedValues.ts";
import type { Library } from "../library/library.ts";
import type { Run } from "../library/runs.ts";
import type { Series } from "../library/series.ts";

export interface RunTrendOptions extends Pick<TrendInput, "baseline" | "target" | "lambda" | "cusum" | "reading"> {
  readonly value: JudgedValue;
  /** A second value of the same sheets, for T^2: offsetX with offsetY. */
  readonly second?: JudgedValue;
  /** Tolerance limits in place of the job's; those not given stay. */
  readonly limits?: { readonly lower?: number; readonly upper?: number };
}

/** The trend of a run with the rows that it stands on: row i (from 1 in the trend) is `rows.checkId[i - 1]`. */
export interface RunTrend {
  readonly trend: Trend;
  readonly rows: Series;
  /** Abscissa of each row: sheet numbers where all have one, else the row numbers. */
  readonly order: readonly number[];
  readonly orderedBy: "sheet" | "row";
  readonly limits: { readonly lower?: number; readonly upper?: number };
  readonly unit: "mm" | "mm/m";
}

/** The tolerance that a value is judged by. */
const TOLERANCE: Readonly<Record<JudgedValue, keyof Tolerance>> = {
  position: "position", offsetX: "offset", offsetY: "offset", offsetLength: "offset", rotation: "rotation", skew: "skew", scaleX: "scale", scaleY: "scale", crease: "crease",
};

/** The size that a value may have; undefined where the job does not judge it. */
export function limitOf(job: Pick<Job, "tolerance">, value: JudgedValue): number | undefined {
  return job.tolerance[TOLERANCE[value]];
}

/**
 * Charts, drift, changes and capability of one judged value of a run, in order of its sheets: first cuts only (a re-cut sheet tells nothing of the
 * run's process). Tolerance limits are the job's of the run's day; the measurement's own uncertainty is taken out of the scatter.
 * @throws LibraryFault "not-found"
 */
export async function trendOfRun(library: Library, runId: number, options: RunTrendOptions): Promise<RunTrend> {
  const run = await library.runs.get(runId);
  const { job } = await library.jobs.version(run.jobVersionId);
  const rows = await library.checks.series(runId, { values: options.second ? [options.value, options.second] : [options.value] });
  return trendOfRows(rows, job, { baseline: baselineOf(run), ...options });
}

/** The same of rows that were read already; they hold the values asked for. */
export function trendOfRows(rows: Series, job: Pick<Job, "tolerance">, { value, second, limits: given, ...options }: RunTrendOptions): RunTrend {
  const { order, orderedBy } = orderOf(rows);
  const limit = limitOf(job, value);
  // A length has no lower limit; of two components the limit is that of their length.
  const own = limit === undefined ? {} : value === "offsetLength" || second ? { upper: limit } : { lower: -limit, upper: limit };
  const limits = { ...own, ...(given?.lower !== undefined && { lower: given.lower }), ...(given?.upper !== undefined && { upper: given.upper }) };
  const result = trend({
    column: value, values: numbersOf(rows, value), order, limits, u: standardUncertainty(rows.U[value]),
    ...(second && { second: { column: second, values: numbersOf(rows, second) } }), ...options,
  });
  return { trend: result, rows, order, orderedBy, limits, unit: ["rotation", "skew", "scaleX", "scaleY"].includes(value) ? "mm/m" : "mm" };
}

/** The baseline that was stated for a run. */
export function baselineOf({ baselineFrom, baselineTo }: Pick<Run, "baselineFrom" | "baselineTo">): TrendInput["baseline"] {
  return baselineFrom !== null && baselineTo !== null ? { from: baselineFrom, to: baselineTo } : undefined;
}

/** Sheet numbers where all rows have one, else the row numbers. */
export function orderOf({ sheetNumber }: Pick<Series, "sheetNumber">): Pick<RunTrend, "order" | "orderedBy"> {
  const numbered = sheetNumber.every((n) => n !== null);
  return { order: sheetNumber.map((n, i) => (numbered ? (n as number) : i + 1)), orderedBy: numbered ? "sheet" : "row" };
}

/** A value of the rows, NaN where a sheet has none. */
export function numbersOf(rows: Series, value: JudgedValue): number[] {
  return (rows.values[value] ?? []).map((v) => v ?? NaN);
}

/** Standard uncertainty of one measurement: the root mean square of the rows' U over their coverage factor of 2. */
function standardUncertainty(U: readonly (number | null)[] | undefined): number | undefined {
  const known = (U ?? []).filter((u) => u !== null);
  return known.length === 0 ? undefined : Math.sqrt(known.reduce((sum, u) => sum + (u / 2) ** 2, 0) / known.length);
}
