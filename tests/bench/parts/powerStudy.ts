import { medianOf } from "../../../core/statistics/median.ts";
import { findChanges } from "../../../core/trend/changes.ts";
import { forecast } from "../../../core/trend/forecast.ts";
import { trend, type ChartName } from "../../../core/trend/trend.ts";
import { gaussian } from "../../support/gaussian.ts";

/** Simulated runs by which the power of the charts is told: normal scatter `sigma` about a known mean, seeded. */
const sigma = 0.05;
/** Rows of the baseline, mm of scatter as in the statement of the requirement. */
export const BASELINE = 100;

function run(normal: () => number, rows: number, mean: (i: number) => number): number[] {
  return Array.from({ length: rows }, (_, i) => mean(i) + sigma * normal());
}

const signalsOf = (values: number[]) =>
  trend({ column: "x", values, baseline: { from: 1, to: BASELINE } }).signals.filter((s) => s.at > BASELINE);

/** Share of runs whose drift of 0.1 mm in 200 sheets is signalled before the mean has moved 0.08 mm, and the mean's median way at the signal. */
export function driftStudy(runs: number, chart: ChartName, seed = 1): { share: number; medianWay: number } {
  const normal = gaussian(seed);
  const slope = 0.1 / 200;
  const ways = Array.from({ length: runs }, () => {
    const values = run(normal, BASELINE + 240, (i) => Math.max(0, i + 1 - BASELINE) * slope);
    const first = signalsOf(values).find((s) => s.chart === chart);
    return first ? (first.at - BASELINE) * slope : Infinity;
  });
  return { share: ways.filter((w) => w < 0.08).length / runs, medianWay: medianOf(ways) };
}

/** Median number of checks from a step to the first signal, the checks at the new level counted. */
export function stepStudy(runs: number, chart: ChartName, sigmas: number, seed = 2): number {
  const normal = gaussian(seed);
  return medianOf(Array.from({ length: runs }, () => {
    const values = run(normal, BASELINE + 100, (i) => (i >= BASELINE ? sigmas * sigma : 0));
    const first = signalsOf(values).find((s) => s.chart === chart);
    return first ? first.at - BASELINE : Infinity;
  }));
}

/**
 * False alarms per 300 in-control sheets after the baseline, by chart and for all of them: an alarm is a signal whose chart
 * was silent on the row before, so that one excursion counts once.
 */
export function falseAlarms(runs: number, rows: number, seed = 3): Map<ChartName | "all", number> {
  const normal = gaussian(seed);
  const counts = new Map<ChartName | "all", number>();
  for (let r = 0; r < runs; r++) {
    const last = new Map<ChartName | "all", number>();
    for (const { at, chart } of signalsOf(run(normal, BASELINE + rows, () => 0))) {
      for (const name of [chart, "all"] as const) {
        const before = last.get(name);
        if (before === undefined || at > before + 1) counts.set(name, (counts.get(name) ?? 0) + 1);
        last.set(name, at);
      }
    }
  }
  for (const [name, count] of counts) counts.set(name, (300 * count) / (runs * rows));
  return counts;
}

/** Median distance, in checks, between a step in the middle of a run and where it is found; runs without a find count as far off. */
export function changeStudy(runs: number, rows: number, sigmas: number, seed = 4): number {
  const normal = gaussian(seed);
  const x = Array.from({ length: rows }, (_, i) => i + 1);
  const at = Math.floor(0.6 * rows);
  return medianOf(Array.from({ length: runs }, () => {
    const found = findChanges(x, run(normal, rows, (i) => (i >= at ? sigmas * sigma : 0)));
    return Math.min(rows, ...found.map((c) => Math.abs(c.at - at)));
  }));
}

/** Share of 90 % forecast intervals that hold the truth, for a drift that starts at row `since` of `rows`. `narrowed` < 1 is a negative control. */
export function forecastStudy(runs: number, rows: number, since: number, slope: number, narrowed = 1, seed = 5): { held: number; given: number } {
  const normal = gaussian(seed);
  const x = Array.from({ length: rows }, (_, i) => i + 1);
  const truth = since + 0.4 / slope - rows;
  let [held, given] = [0, 0];
  for (let r = 0; r < runs; r++) {
    const f = forecast(x, run(normal, rows, (i) => Math.max(0, i + 1 - since) * slope), { lower: -0.4, upper: 0.4 });
    if ("reason" in f) continue;
    given++;
    const { value, low, high } = f.left;
    if (value + narrowed * (low - value) <= truth && truth <= value + narrowed * (high - value)) held++;
  }
  return { held: held / given, given };
}
