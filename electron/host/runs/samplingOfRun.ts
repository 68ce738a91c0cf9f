import { fitLine, slopeInterval } from "../../../core/trend/line.ts";
import { sample, sampling, type SamplingAdvice } from "../../../core/trend/sampling.ts";
import type { JudgedValue } from "../library/judgedValues.ts";
import type { Library } from "../library/library.ts";
import { limitOf, numbersOf, type RunTrend } from "./trendOfRun.ts";
import { trendsOfRun } from "./adviceOfRun.ts";

/** Cost of a bad sheet over that of a check, and sudden faults in 1,000 sheets. */
export interface SamplingCosts {
  readonly badOverCheck: number;
  readonly faultsPer1000: number;
}

export interface SamplingOfRun {
  readonly costs: SamplingCosts;
  /** The value that asks for the most checks; null where nothing can be said yet, with the reason. */
  readonly by: JudgedValue | null;
  readonly reason?: "few-checks" | "no-limits";
  readonly limit?: number;
  readonly level?: number;
  readonly driftPerSheet?: number;
  readonly sigma?: number;
  readonly advised?: SamplingAdvice;
  /** The interval kept so far (median distance of checked sheets), and what it costs and misses. */
  readonly present?: SamplingAdvice;
}

/** Checks from which level and scatter can be told. */
const LEAST = 8;

/** How often to check from here on, by the value that asks for it most. @throws LibraryFault "not-found" */
export async function samplingOfRun(library: Library, runId: number, costs: SamplingCosts): Promise<SamplingOfRun> {
  const { job, rows, trends } = await trendsOfRun(library, runId);
  const faultsPerSheet = costs.faultsPer1000 / 1000;
  const present = presentInterval(rows.sheetNumber);
  const each = (Object.entries(trends) as [JudgedValue, RunTrend][]).flatMap(([value, run]) => {
    const limit = limitOf(job, value);
    const now = stateNow(run, numbersOf(rows, value));
    if (limit === undefined || !now) return [];
    const model = { limit, ...now, faultsPerSheet, badOverCheck: costs.badOverCheck };
    return [{ by: value, limit, level: now.level, driftPerSheet: now.drift, sigma: now.sigma, advised: sampling(model), ...(present !== null && { present: sample(model, present) }) }];
  });
  if (each.length === 0) return { costs, by: null, reason: rows.checkId.length < LEAST ? "few-checks" : "no-limits" };
  return { costs, ...each.reduce((most, e) => (e.advised.every < most.advised.every || (e.advised.every === most.advised.every && e.advised.outAtNext > most.advised.outAtNext) ? e : most)) };
}

/** Level, drift and scatter at the end of the run: a line through the checks since the last change of level; flat where no drift is established. */
function stateNow({ trend, order }: RunTrend, values: readonly number[]): { level: number; drift: number; sigma: number } | null {
  if (trend.sigmaWithin === undefined || values.length - trend.missing < LEAST) return null;
  const since = trend.drift?.since ?? -Infinity;
  const first = (trend.changes.at(-1)?.at ?? 1) - 1;
  const rows = values.flatMap((v, i) => (i >= first && order[i] >= since && !Number.isNaN(v) ? [i] : []));
  const line = fitLine(rows.map((i) => order[i]), rows.map((i) => values[i]));
  if (!line) return { level: values.findLast((v) => !Number.isNaN(v)) ?? 0, drift: 0, sigma: trend.sigmaWithin };
  const { low, high } = slopeInterval(line);
  const drift = low * high > 0 ? line.slope : 0;
  return { level: line.yMean + drift * (order[rows[rows.length - 1]] - line.xMean), drift, sigma: trend.sigmaWithin };
}

/** Median distance from one checked sheet to the next; null where fewer than three are numbered. */
function presentInterval(numbers: readonly (number | null)[]): number | null {
  const known = numbers.filter((n) => n !== null);
  if (known.length < 3) return null;
  const steps = known.slice(1).map((n, i) => n - known[i]).sort((a, b) => a - b);
  return Math.max(1, steps[steps.length >> 1]);
}
