import { cusum } from "./cusum.ts";
import { driftChart, ewma } from "./ewma.ts";
import { hotelling } from "./hotelling.ts";
import { D4, fromBaseline, individualsLimits, movingRanges, type Baseline } from "./individuals.ts";
import { runRules } from "./runRules.ts";
import type { ChartName, Signal, Trend, TrendInput } from "./trend.ts";

type Figures = Pick<Trend, "centre" | "sigmaWithin">;
type Drawn = Pick<Trend, "individuals" | "movingRange" | "ewma" | "driftChart" | "cusum" | "t2">;

/** The control charts of a run by its baseline, with their signals; `rows` are the measured ones, from 0. What cannot be drawn is left out and `notes` say why. */
export function chartsOf(input: TrendInput, baseline: Baseline, rows: readonly number[], notes: string[]): { figures: Figures; drawn: Drawn; signals: Signal[]; baselineN: number } {
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
