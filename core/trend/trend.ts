import type { Limits } from "./capability.ts";
import { capabilityOf, processScatter } from "./capabilityOfRun.ts";
import { findChanges } from "./changes.ts";
import { chartsOf } from "./charts.ts";
import type { Cusum } from "./cusum.ts";
import { driftOf } from "./drift.ts";
import type { Ewma } from "./ewma.ts";
import type { Left } from "./forecast.ts";
import { measuredRows, standardDeviation, type Baseline, type Series } from "./individuals.ts";
import type { Reading } from "./runRules.ts";

/** The chart that Kerfmark names as its drift chart: `driftChart` in the result. Its power is printed by tests/bench/power.ts. */
export const DRIFT_CHART = "drift";
/** Rows of the baseline where none was stated. */
const DEFAULT_BASELINE = 30;

export type ChartName = "individuals" | "movingRange" | "ewma" | "drift" | "cusum" | "t2";

export interface Signal {
  /** Data row, from 1. */
  readonly at: number;
  readonly chart: ChartName;
  readonly rule: string;
}

/** What to compute; all values in the data's unit, one per data row, NaN where nothing was measured. */
export interface TrendInput {
  readonly column: string;
  readonly values: Series;
  /** A second value of the same rows, for T^2. */
  readonly second?: { readonly column: string; readonly values: Series };
  /** Abscissa of the drift by row, ascending (sheet numbers, with gaps). Default: the row number. */
  readonly order?: readonly number[];
  /** Default: the first 30 rows, or all where there are fewer. */
  readonly baseline?: Baseline;
  readonly limits?: Limits;
  /** Target of the CUSUM; default: the baseline's centre. */
  readonly target?: number;
  readonly lambda?: number;
  readonly cusum?: { readonly k: number; readonly h: number };
  /** Standard uncertainty of one measurement, to be taken out of the scatter. */
  readonly u?: number;
  readonly reading?: Reading;
}

export interface Drift {
  readonly per100: number;
  readonly low: number;
  readonly high: number;
  readonly robustPer100?: number;
  /** Two-sided p of the Mann-Kendall test. */
  readonly mannKendallP?: number;
  readonly left?: Left;
  /** Abscissa where the drift began, where it did not run all along. */
  readonly since?: number;
}

export interface Capability {
  readonly cp?: number;
  readonly cpLow?: number;
  readonly cpHigh?: number;
  readonly cpk?: number;
  readonly cpkLow?: number;
  readonly cpkHigh?: number;
  readonly pp?: number;
  readonly ppLow?: number;
  readonly ppHigh?: number;
  readonly ppk?: number;
  readonly ppkLow?: number;
  readonly ppkHigh?: number;
  readonly outShare?: number;
}

/** `kerfmark.trend/1` (contract section 5). What cannot be had is left out and `notes` say why. */
export interface Trend {
  readonly format: "kerfmark.trend/1";
  readonly column: string;
  readonly n: number;
  readonly missing: number;
  readonly baseline: Baseline;
  readonly centre?: number;
  readonly sigmaWithin?: number;
  readonly sigmaOverall?: number;
  /** Scatter of the process with the measurement's own taken out: sqrt(sigma^2 - u^2). */
  readonly process?: { readonly u: number; readonly sigmaWithin?: number; readonly sigmaOverall?: number };
  readonly individuals?: { readonly lcl: number; readonly ucl: number };
  readonly movingRange?: { readonly centre: number; readonly ucl: number };
  readonly ewma?: Ewma;
  /** The chart to go by for drift: an EWMA whose limits allow for the length of the baseline; its signals have the chart `drift`. */
  readonly driftChart?: Ewma;
  readonly cusum?: Cusum;
  /** `ucl` rules the rows after the baseline, `uclInside` those of it; where no row comes after, both are the same. */
  readonly t2?: { readonly ucl: number; readonly uclInside?: number; readonly columns: readonly [string, string]; readonly values: readonly (number | null)[] };
  readonly signals: readonly Signal[];
  readonly drift?: Drift;
  readonly changes: readonly { readonly at: number; readonly shift: number; readonly p: number }[];
  readonly capability?: Capability;
  readonly notes: readonly string[];
}

/** All statistics of a run that the values allow. `n` counts rows, missing ones included. */
export function trend(input: TrendInput): Trend {
  const { values } = input;
  const notes: string[] = [];
  const rows = measuredRows(values);
  const y = rows.map((i) => values[i]);
  const x = rows.map((i) => input.order?.[i] ?? i + 1);
  const baseline = input.baseline ?? { from: 1, to: Math.min(DEFAULT_BASELINE, values.length) };
  const charts = chartsOf(input, baseline, rows, notes);
  const changes = findChanges(x, y);
  const sigmaOverall = y.length > 1 ? standardDeviation(y) : undefined;
  return {
    format: "kerfmark.trend/1", column: input.column, n: values.length, missing: values.length - y.length, baseline,
    ...charts.figures, sigmaOverall,
    process: processScatter(input.u, charts.figures.sigmaWithin, sigmaOverall, notes),
    ...charts.drawn, signals: charts.signals.sort((a, b) => a.at - b.at),
    drift: driftOf(x, y, changes.at(-1)?.at ?? 0, input.limits, notes),
    changes: changes.map((c) => ({ at: rows[c.at] + 1, shift: c.shift, p: c.p })),
    capability: capabilityOf(input, y, charts.figures.sigmaWithin, charts.baselineN, sigmaOverall, notes),
    notes,
  };
}
