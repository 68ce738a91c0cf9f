import { outShare, movingRangeDof, nearIndex, radialOutShare, spreadIndex, type Limits } from "./capability.ts";
import { findChanges } from "./changes.ts";
import { cusum, type Cusum } from "./cusum.ts";
import { driftChart, ewma, type Ewma } from "./ewma.ts";
import { forecast, type Left } from "./forecast.ts";
import { hotelling } from "./hotelling.ts";
import { D4, fromBaseline, individualsLimits, mean, movingRanges, standardDeviation, type Baseline, type Series } from "./individuals.ts";
import { fitLine, slopeInterval } from "./line.ts";
import { mannKendall } from "./mannKendall.ts";
import { runRules, type Reading } from "./runRules.ts";
import { theilSen } from "./theilSen.ts";

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

/** Indices of the measured rows, from 0. */
function measuredRows(values: Series): number[] {
  const rows: number[] = [];
  for (let i = 0; i < values.length; i++) if (!Number.isNaN(values[i])) rows.push(i);
  return rows;
}

type Figures = Pick<Trend, "centre" | "sigmaWithin">;
type Drawn = Pick<Trend, "individuals" | "movingRange" | "ewma" | "driftChart" | "cusum" | "t2">;

function chartsOf(input: TrendInput, baseline: Baseline, rows: readonly number[], notes: string[]): { figures: Figures; drawn: Drawn; signals: Signal[]; baselineN: number } {
  const { values } = input;
  const signals: Signal[] = [];
  const t2 = input.second ? t2Of(input, baseline, signals, notes) : undefined;
  const base = fromBaseline(values, baseline);
  if (!base) notes.push("Nothing was measured in the baseline, so there are no control charts.");
  if (base && base.sigmaWithin === null) notes.push("No two neighbouring rows of the baseline were measured, so its scatter is not known and there are no control charts.");
  if (base && base.sigmaWithin === 0) notes.push("The values of the baseline do not scatter at all, so limits cannot be set; state another baseline.");
  if (!base || !base.sigmaWithin || base.movingRange === null) {
    return { figures: { centre: base?.centre, sigmaWithin: base?.sigmaWithin ?? undefined }, drawn: { t2 }, signals, baselineN: base?.n ?? 0 };
  }
  const { centre, sigmaWithin: sigma, movingRange } = base;
  if (base.n < 20) notes.push(`The baseline holds ${base.n} measured rows; limits from fewer than 20 are rough (common practice, no source).`);
  const individuals = individualsLimits(centre, sigma);
  const range = { centre: movingRange, ucl: D4 * movingRange };
  const average = ewma(values, centre, sigma, input.lambda ?? 0.2);
  const sums = cusum(values, input.target ?? centre, input.cusum?.k ?? 0.5 * sigma, input.cusum?.h ?? 5 * sigma);
  const z = rows.map((i) => (values[i] - centre) / sigma);
  for (const s of runRules(z, input.reading)) {
    signals.push({ at: rows[s.at] + 1, chart: "individuals", rule: s.rule === "beyond 3 sigma" ? BEYOND : s.rule });
  }
  const beyond = (chart: ChartName, isBeyond: (i: number) => boolean): void => {
    for (let i = 0; i < values.length; i++) if (isBeyond(i)) signals.push({ at: i + 1, chart, rule: BEYOND });
  };
  const ranges = movingRanges(values);
  beyond("movingRange", (i) => ranges[i] > range.ucl);
  const slow = driftChart(values, { centre, sigmaWithin: sigma, n: base.n });
  for (const [name, chart] of [["ewma", average], ["drift", slow]] as const) {
    beyond(name, (i) => {
      const v = chart.values[i];
      return v !== null && (v > chart.ucl[i] || v < chart.lcl[i]);
    });
  }
  beyond("cusum", (i) => (sums.high[i] ?? 0) > sums.h || (sums.low[i] ?? 0) > sums.h);
  return { figures: { centre, sigmaWithin: sigma }, drawn: { individuals, movingRange: range, ewma: average, driftChart: slow, cusum: sums, t2 }, signals, baselineN: base.n };
}

const BEYOND = "beyond limit";

function t2Of(input: TrendInput, baseline: Baseline, signals: Signal[], notes: string[]): Trend["t2"] {
  if (!input.second) return undefined;
  const chart = hotelling([input.values, input.second.values], baseline);
  if ("reason" in chart) {
    notes.push(`No T2: ${chart.reason}.`);
    return undefined;
  }
  const inside = (i: number): boolean => i + 1 >= baseline.from && i + 1 <= baseline.to;
  for (const [i, v] of chart.values.entries()) {
    const ucl = inside(i) ? chart.uclInside : chart.uclAfter;
    if (v !== null && ucl !== null && v > ucl) signals.push({ at: i + 1, chart: "t2", rule: BEYOND });
  }
  const allInside = baseline.from === 1 && baseline.to >= input.values.length;
  return {
    ucl: allInside && chart.uclInside !== null ? chart.uclInside : chart.uclAfter, uclInside: chart.uclInside ?? undefined,
    columns: [input.column, input.second.column], values: chart.values,
  };
}

/** Drift over all rows; the forecast goes by the rows since the last change of level. */
function driftOf(x: readonly number[], y: readonly number[], lastChange: number, limits: Limits | undefined, notes: string[]): Drift | undefined {
  const line = fitLine(x, y);
  if (!line) {
    notes.push("Fewer than three measured rows, so no drift.");
    return undefined;
  }
  const { low, high } = slopeInterval(line);
  const robust = theilSen(x, y);
  const test = mannKendall(x, y);
  const drift = {
    per100: 100 * line.slope, low: 100 * low, high: 100 * high,
    robustPer100: robust === null ? undefined : 100 * robust, mannKendallP: test?.p,
  };
  if (limits?.lower === undefined && limits?.upper === undefined) return drift;
  const ahead = forecast(x.slice(lastChange), y.slice(lastChange), limits);
  if ("reason" in ahead) {
    notes.push(`No forecast: ${ahead.reason}.`);
    return drift;
  }
  if (lastChange > 0) notes.push("The forecast goes by the rows since the last change of level.");
  return { ...drift, left: ahead.left, since: ahead.since ?? undefined };
}

function capabilityOf(input: TrendInput, y: readonly number[], within: number | undefined, baselineN: number, overall: number | undefined, notes: string[]): Capability | undefined {
  const { limits } = input;
  if (!limits || (limits.lower === undefined && limits.upper === undefined)) {
    notes.push("No limits were given, so there is no capability and no forecast.");
    return undefined;
  }
  if (!overall) {
    notes.push("The values do not scatter, so there is no capability.");
    return undefined;
  }
  const [n, centre] = [y.length, mean(y)];
  const pp = spreadIndex(limits, overall, n - 1);
  const ppk = nearIndex(limits, centre, overall, n, n - 1);
  const dof = movingRangeDof(baselineN);
  const cp = within ? spreadIndex(limits, within, dof) : null;
  const cpk = within ? nearIndex(limits, centre, within, n, dof) : null;
  if (!pp) notes.push("Only one limit was given, so there is no Cp and no Pp.");
  return {
    cp: cp?.value, cpLow: cp?.low, cpHigh: cp?.high, cpk: cpk?.value, cpkLow: cpk?.low, cpkHigh: cpk?.high,
    pp: pp?.value, ppLow: pp?.low, ppHigh: pp?.high, ppk: ppk.value, ppkLow: ppk.low, ppkHigh: ppk.high,
    outShare: shareOut(input, limits, centre, overall, notes),
  };
}

function shareOut(input: TrendInput, limits: Limits, centre: number, overall: number, notes: string[]): number {
  const second = input.second?.values;
  const radius = limits.upper !== undefined && (limits.lower === undefined || limits.lower === -limits.upper) ? limits.upper : null;
  const pairs = second ? measuredRows(input.values).filter((i) => !Number.isNaN(second[i])) : [];
  if (!second || radius === null || radius <= 0 || pairs.length < 3) return outShare(limits, centre, overall);
  notes.push(`outShare is the share of pairs farther than ${radius} from (0, 0), by the bivariate normal.`);
  return radialOutShare(pairs.map((i) => input.values[i]), pairs.map((i) => second[i]), radius);
}

function processScatter(u: number | undefined, within: number | undefined, overall: number | undefined, notes: string[]): Trend["process"] {
  if (u === undefined) return undefined;
  const without = (sigma: number | undefined): number | undefined => (sigma === undefined ? undefined : Math.sqrt(Math.max(0, sigma * sigma - u * u)));
  if (within !== undefined && within < u) notes.push("The measurement's uncertainty explains all of the scatter from sheet to sheet.");
  return { u, sigmaWithin: without(within), sigmaOverall: without(overall) };
}
