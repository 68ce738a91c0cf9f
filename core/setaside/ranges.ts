import type { Verdict } from "../check/record.ts";

/** Sheets `from` to `to`, both included; sheet 1 was cut first and lies at the bottom of the finished stack. */
export interface SheetRange {
  readonly from: number;
  readonly to: number;
}

/** A range with its place counted from the top of the finished stack (the topmost sheet is 1). */
export interface SuspectRange extends SheetRange {
  readonly fromTop: readonly [number, number];
}

/** What to set aside of a stack (contract section 5). Every sheet is in exactly one of `bad`, `suspect` and `clear`. */
export interface SetAside {
  readonly format: "kerfmark.setaside/1";
  readonly bad: readonly number[];
  readonly suspect: readonly SuspectRange[];
  readonly clear: readonly SheetRange[];
  /** The sheet to check next so that the search halves; null where nothing is suspect. */
  readonly next: number | null;
}

type State = "bad" | "suspect" | "clear";

/**
 * What the checks of a stack of `sheets` say about all of it. `checks` maps a sheet (1..sheets) to its verdict.
 *
 * A stretch of unchecked sheets is clear only between (or beyond) good checks; next to a bad or unsure check it is suspect,
 * up to the nearest good one. An unsure sheet is suspect itself. Of a stack without any check, all is suspect.
 * Holds what it promises where the error is monotone between neighbouring checks.
 */
export function setAside(checks: ReadonlyMap<number, Verdict>, sheets: number): SetAside {
  const states = statesOf(checks, sheets);
  const ranges = rangesOf(states);
  const suspect = ranges.filter((r) => r.state === "suspect");
  return {
    format: "kerfmark.setaside/1",
    bad: ranges.filter((r) => r.state === "bad").flatMap((r) => Array.from({ length: r.to - r.from + 1 }, (_, i) => r.from + i)),
    suspect: suspect.map(({ from, to }) => ({ from, to, fromTop: [sheets + 1 - to, sheets + 1 - from] })),
    clear: ranges.filter((r) => r.state === "clear").map(({ from, to }) => ({ from, to })),
    next: nextToCheck(suspect, checks, sheets),
  };
}

/** The state of each sheet; index 0 is sheet 1. */
function statesOf(checks: ReadonlyMap<number, Verdict>, sheets: number): State[] {
  const checked = [...checks.keys()].sort((a, b) => a - b);
  const states = new Array<State>(sheets).fill("suspect");
  const good = (sheet: number | undefined): boolean => sheet === undefined || checks.get(sheet) === "in";
  for (let i = 0; i <= checked.length && checked.length > 0; i++) {
    const [before, after] = [checked[i - 1], checked[i]] as [number | undefined, number | undefined];
    if (good(before) && good(after)) states.fill("clear", before ?? 0, (after ?? sheets + 1) - 1);
  }
  for (const [sheet, verdict] of checks) states[sheet - 1] = verdict === "in" ? "clear" : verdict === "out" ? "bad" : "suspect";
  return states;
}

function rangesOf(states: readonly State[]): (SheetRange & { state: State })[] {
  const ranges: { from: number; to: number; state: State }[] = [];
  for (const [i, state] of states.entries()) {
    const last = ranges.at(-1);
    if (last?.state === state) last.to = i + 1;
    else ranges.push({ from: i + 1, to: i + 1, state });
  }
  return ranges;
}

/**
 * The middle of the longest suspect stretch with a good check or an end of the stack at one side (there the search halves
 * towards where it went wrong), else of the longest; the lower one where two are equal, rounding down.
 */
function nextToCheck(suspect: readonly SheetRange[], checks: ReadonlyMap<number, Verdict>, sheets: number): number | null {
  const anchored = suspect.filter((r) => r.from === 1 || r.to === sheets || checks.get(r.from - 1) === "in" || checks.get(r.to + 1) === "in");
  let best: SheetRange | undefined;
  for (const r of anchored.length > 0 ? anchored : suspect) if (!best || r.to - r.from > best.to - best.from) best = r;
  return best ? Math.floor((best.from + best.to) / 2) : null;
}
