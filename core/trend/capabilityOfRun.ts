import { movingRangeDof, nearIndex, outShare, radialOutShare, spreadIndex, type Limits } from "./capability.ts";
import { mean, measuredRows } from "./individuals.ts";
import type { Capability, Trend, TrendInput } from "./trend.ts";

/** The capability indices of a run's measured values `y`, by the scatter of its baseline (`within`, of `baselineN` rows) and of all rows (`overall`). */
export function capabilityOf(input: TrendInput, y: readonly number[], within: number | undefined, baselineN: number, overall: number | undefined, notes: string[]): Capability | undefined {
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

/** The process's own scatter, where the standard uncertainty `u` of a measurement is known. */
export function processScatter(u: number | undefined, within: number | undefined, overall: number | undefined, notes: string[]): Trend["process"] {
  if (u === undefined) return undefined;
  const without = (sigma: number | undefined): number | undefined => (sigma === undefined ? undefined : Math.sqrt(Math.max(0, sigma * sigma - u * u)));
  if (within !== undefined && within < u) notes.push("The measurement's uncertainty explains all of the scatter from sheet to sheet.");
  return { u, sigmaWithin: without(within), sigmaOverall: without(overall) };
}
