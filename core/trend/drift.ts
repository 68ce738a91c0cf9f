import type { Limits } from "./capability.ts";
import { forecast } from "./forecast.ts";
import { fitLine, slopeInterval } from "./line.ts";
import { mannKendall } from "./mannKendall.ts";
import { theilSen } from "./theilSen.ts";
import type { Drift } from "./trend.ts";

/** Drift over all rows; the forecast goes by the rows since the last change of level. */
export function driftOf(x: readonly number[], y: readonly number[], lastChange: number, limits: Limits | undefined, notes: string[]): Drift | undefined {
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
