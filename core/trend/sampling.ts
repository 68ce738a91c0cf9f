import { normalCdf } from "../statistics/distributions.ts";

/** What sampling advice goes by; lengths and scatter in the unit of the tolerance. */
export interface Sampling {
  /** Tolerance on the size of the value. */
  readonly limit: number;
  /** Where the level is now. */
  readonly level: number;
  /** Drift per sheet. */
  readonly drift: number;
  /** Scatter from sheet to sheet. */
  readonly sigma: number;
  /** Sudden faults per sheet (a slipped stop, a broken blade), each spoiling all sheets until it is found. */
  readonly faultsPerSheet: number;
  /** Cost of one bad sheet over the cost of one check. */
  readonly badOverCheck: number;
}

/** How often to check, and what that misses. */
export interface SamplingAdvice {
  /** Check every this many sheets. */
  readonly every: number;
  /** Expected cost per sheet at that interval, in checks. */
  readonly costPerSheet: number;
  /** Expected number of bad sheets cut before a sudden fault is found. */
  readonly badPerFault: number;
  /** Share of sheets expected out of tolerance at the next check from scatter and drift alone. */
  readonly outAtNext: number;
}

/** Longest interval that is advised, sheets. */
const LONGEST = 400;

/**
 * Sampling interval of least expected cost. Model, stated: checking every n sheets costs 1/n check per sheet. A sudden fault
 * comes with a constant probability per sheet and is found at the next check, after (n + 1)/2 bad sheets on average. Scatter is
 * normal about a level that drifts evenly; the sheets it puts out of tolerance between two checks cost as bad sheets too.
 * Expected cost per sheet: 1/n + r (f (n + 1)/2 + mean over the interval of P(out)).
 */
export function sampling(s: Sampling): SamplingAdvice {
  let best = sample(s, 1);
  for (let n = 2; n <= LONGEST; n++) {
    const next = sample(s, n);
    if (next.costPerSheet < best.costPerSheet) best = next;
  }
  return best;
}

/** What a given interval costs and misses; see `sampling`. */
export function sample(s: Sampling, every: number): SamplingAdvice {
  let out = 0;
  for (let i = 1; i <= every; i++) out += outOf(s, s.level + i * s.drift);
  const badPerFault = (every + 1) / 2;
  const costPerSheet = 1 / every + s.badOverCheck * (s.faultsPerSheet * badPerFault + out / every);
  return { every, costPerSheet, badPerFault, outAtNext: outOf(s, s.level + every * s.drift) };
}

function outOf({ limit, sigma }: Sampling, level: number): number {
  if (sigma === 0) return Math.abs(level) > limit ? 1 : 0;
  return normalCdf((level - limit) / sigma) + normalCdf((-limit - level) / sigma);
}
