import { type Cell, csvText } from "../../../core/statistics/csv.ts";
import type { Settings } from "../../../electron/host/app/choices.ts";
import type { Words } from "../../words/words.ts";
import type { Charts } from "../runData.ts";

/** All rows of the charts of a value, in mm or mm/m, readings unrounded: readings with U, moving range, EWMA, drift chart, CUSUM, T², each with its limits. */
export function chartCsv(data: Charts, words: Words, settings: Settings, decimal: "." | ","): string {
  const { statistics: t } = data;
  const signals = new Map<number, string[]>();
  for (const { chart, rule, at } of data.signals) for (const row of at) signals.set(row - 1, [...(signals.get(row - 1) ?? []), `${chart}: ${rule}`]);
  const columns: Record<string, (i: number) => Cell> = {
    row: (i) => i + 1, sheet: (i) => data.sheets[i] ?? null, taken_at: (i) => data.takenAt[i], verdict: (i) => words.verdict[data.verdicts[i]].word,
    [`${data.value}_${data.unit.replace("/", "_per_")}`]: (i) => data.values[i], U: (i) => data.U[i] ?? null,
    ...(data.second && { [data.second]: (i: number) => data.secondValues?.[i] ?? null }),
    moving_range: (i) => (i === 0 || data.values[i] === null || data.values[i - 1] === null ? null : Math.abs((data.values[i] as number) - (data.values[i - 1] as number))),
    ...(t.ewma && { ewma: (i: number) => t.ewma?.values[i] ?? null, ewma_lcl: (i: number) => t.ewma?.lcl[i] ?? null, ewma_ucl: (i: number) => t.ewma?.ucl[i] ?? null }),
    ...(t.driftChart && { drift_chart: (i: number) => t.driftChart?.values[i] ?? null, drift_chart_lcl: (i: number) => t.driftChart?.lcl[i] ?? null, drift_chart_ucl: (i: number) => t.driftChart?.ucl[i] ?? null }),
    ...(t.cusum && { cusum_high: (i: number) => t.cusum?.high[i] ?? null, cusum_low: (i: number) => t.cusum?.low[i] ?? null, cusum_limit: () => t.cusum?.h ?? null }),
    ...(t.t2 && { t2: (i: number) => t.t2?.values[i] ?? null, t2_ucl: () => t.t2?.ucl ?? null }),
    signals: (i) => signals.get(i)?.join("; ") ?? null,
  };
  return csvText(Object.keys(columns), data.values.map((_, i) => Object.values(columns).map((cell) => cell(i))), { ...settings, decimal });
}
