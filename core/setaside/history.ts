import type { Verdict } from "../check/record.ts";
import { setAside, type SetAside } from "./ranges.ts";

/** What is decided about a sheet. A concession lets a sheet that is out go to the customer by agreement. */
const DISPOSITIONS = ["accept", "re-cut", "reprint", "scrap", "concession"] as const;
export type DispositionKind = (typeof DISPOSITIONS)[number];

export interface CheckEntry {
  readonly kind: "check";
  readonly sheet: number;
  readonly verdict: Verdict;
}

/** Set aside by eye (misprint, damage), without a picture. Says nothing about where the neighbours were cut. */
export interface EyeEntry {
  readonly kind: "eye";
  readonly sheet: number;
  readonly who: string;
  readonly why: string;
}

/** Decided for all sheets `from` to `to` at once. */
export interface DispositionEntry {
  readonly kind: "disposition";
  readonly from: number;
  readonly to: number;
  readonly action: DispositionKind;
  readonly who: string;
  readonly why: string;
}

/** One line of a stack's history; lines stand in the order in which they happened and are never taken away. */
export type Entry = CheckEntry | EyeEntry | DispositionEntry;

/** How one sheet stands now. */
export interface Standing {
  readonly sheet: number;
  /** Place counted from the top of the finished stack. */
  readonly fromTop: number;
  readonly state: "bad" | "suspect" | "clear" | "by-eye" | "re-cut";
  /** The decision in force; a check or a look after it opens the sheet again. */
  readonly disposition: DispositionEntry | null;
  /** What was seen by eye, where that is why the sheet is here. */
  readonly seen: string | null;
  /** True where something is left to do: bad, suspect, set aside by eye or re-cut and not yet checked, and nothing decided. */
  readonly open: boolean;
}

/**
 * The suspect ranges of a stack from its history. A check made after a sheet was re-cut or reprinted speaks for that sheet
 * alone: how its neighbours were cut is told by the checks before.
 */
export function firstCut(entries: readonly Entry[], sheets: number): SetAside {
  const checks = new Map<number, Verdict>();
  const renewed = new Set<number>();
  for (const entry of entries) {
    if (entry.kind === "check" && !renewed.has(entry.sheet)) checks.set(entry.sheet, entry.verdict);
    if (entry.kind === "disposition" && renews(entry)) for (let s = entry.from; s <= entry.to; s++) renewed.add(s);
  }
  return setAside(checks, sheets);
}

/** How each sheet of the stack stands, sheet 1 first. */
export function standings(entries: readonly Entry[], sheets: number): Standing[] {
  const ranges = firstCut(entries, sheets);
  const states = new Array<Standing["state"]>(sheets).fill("clear");
  for (const r of ranges.suspect) states.fill("suspect", r.from - 1, r.to);
  for (const sheet of ranges.bad) states[sheet - 1] = "bad";
  const dispositions = new Array<DispositionEntry | null>(sheets).fill(null);
  const seen = new Array<string | null>(sheets).fill(null);
  const renewed = new Array<boolean>(sheets).fill(false);
  for (const entry of entries) {
    if (entry.kind === "disposition") {
      for (let i = entry.from - 1; i < entry.to; i++) {
        dispositions[i] = entry;
        if (!renews(entry)) continue;
        [renewed[i], seen[i], states[i]] = [true, null, "re-cut"];
      }
      continue;
    }
    const i = entry.sheet - 1;
    dispositions[i] = null;
    if (entry.kind === "eye") [states[i], seen[i]] = ["by-eye", entry.why];
    else if (renewed[i]) states[i] = entry.verdict === "in" ? "clear" : entry.verdict === "out" ? "bad" : "suspect";
  }
  return states.map((state, i) => {
    const disposition = dispositions[i];
    const decided = disposition !== null && !renews(disposition);
    return { sheet: i + 1, fromTop: sheets - i, state, disposition, seen: seen[i], open: state !== "clear" && !decided };
  });
}

const renews = (entry: DispositionEntry): boolean => entry.action === "re-cut" || entry.action === "reprint";
