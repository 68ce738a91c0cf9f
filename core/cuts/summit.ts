import type { Evidence } from "./evidence/evidence.ts";
import type { StripGrid } from "./strips/strip.ts";

/** The chain takes all plain evidence for alike, and so may run past a plain slit by this, mm. */
const RUNS_PAST = 0.3;

/** Where the evidence uphill from the chain's place is highest. */
export function summit(evidence: Evidence, from: number, grid: StripGrid): number {
  let at = from;
  for (let steps = Math.round(RUNS_PAST / grid.step); steps > 0; steps--) {
    const way = (evidence[at + 1] ?? 0) > evidence[at] ? 1 : (evidence[at - 1] ?? 0) > evidence[at] ? -1 : 0;
    if (way === 0) break;
    at += way;
  }
  return at;
}

/** Evidence of at least this share of the highest is its top: that of a step is flat for as far as its flanks leave its place free. */
const TOP = 0.9;

/** The middle of the top uphill from the chain's place: the chain, to which all plain evidence is alike, may leave a sharp edge farther away than its profile is wide. */
export function middleOfTop(evidence: Evidence, from: number, grid: StripGrid): number {
  const at = summit(evidence, from, grid);
  const most = Math.round(RUNS_PAST / grid.step);
  const reach = (way: 1 | -1): number => {
    let steps = 0;
    while (steps < most && (evidence[at + way * (steps + 1)] ?? 0) >= TOP * evidence[at]) steps++;
    return steps;
  };
  return evidence[at] > 0 ? at + Math.round((reach(1) - reach(-1)) / 2) : from;
}
