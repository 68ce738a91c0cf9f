import type { Verdict } from "../../../core/check/record.ts";
import type { Standing } from "../../../core/setaside/history.ts";
import { consequences, type Consequence } from "../../../core/judge/consequences.ts";
import type { Disposition } from "../library/dispositions.ts";
import type { Library } from "../library/library.ts";
import { trendsOfRun } from "./adviceOfRun.ts";
import { expectedOfRun, type ExpectedOfRun } from "./expectedOfRun.ts";
import { stackOrNull, type RunStack } from "./stack.ts";

/** A sheet that something is to be done about, or was decided about. */
export interface AsideSheet extends Pick<Standing, "sheet" | "fromTop" | "state" | "seen" | "open"> {
  readonly decision: Disposition | null;
  /** Its last check. */
  readonly check: { readonly id: number; readonly verdict: Verdict; readonly worst: number; readonly recut: number } | null;
  /** How often it was checked. */
  readonly checks: number;
  /** What its deviations mean for the print, worst first; only of checked sheets that are not good. */
  readonly consequences: readonly Consequence[];
}

export interface AsideOfRun {
  /** Null where nothing can be said: no sheet is numbered and the stack's size is not known. */
  readonly stack: Omit<RunStack, "standings"> | null;
  readonly sheets: readonly AsideSheet[];
  readonly expected: ExpectedOfRun | null;
  /** Decisions by action, the latest first. */
  readonly decisions: readonly Decided[];
}

/** One action of somebody's: a decision for one or many sheets. */
export interface Decided extends Omit<Disposition, "id" | "sheet"> {
  readonly from: string;
  readonly to: string;
  readonly count: number;
}

/** Checked bad sheets whose consequences are told; more would only make the list slow. */
const TOLD = 200;

/** All that the set-aside screen says of a run. @throws LibraryFault "not-found" */
export async function asideOfRun(library: Library, runId: number): Promise<AsideOfRun> {
  const stack = await stackOrNull(library, runId);
  const history = await library.dispositions.history(runId);
  if (!stack) return { stack: null, sheets: [], expected: null, decisions: actions(history) };
  const { standings, ...plain } = stack;
  const { job, rows, trends } = await trendsOfRun(library, runId);
  const decisions = new Map(history.map((d) => [d.sheet, d]));
  const checks = await lastChecks(library, runId);
  const sheets: AsideSheet[] = [];
  let told = 0;
  for (const { sheet, fromTop, state, seen, open } of standings) {
    const decision = decisions.get(String(sheet)) ?? null;
    if (state === "clear" && !decision) continue;
    const check = checks.get(sheet);
    const bad = check && check.check.verdict !== "in" && told++ < TOLD;
    const overlay = bad ? (await library.checks.outcome(check.check.id)).overlay : undefined;
    sheets.push({ sheet, fromTop, state, seen, open, decision, check: check?.check ?? null, checks: check?.count ?? 0, consequences: overlay ? worstFirst(consequences(job, overlay.stretches)) : [] });
  }
  return { stack: plain, sheets, expected: expectedOfRun(job, rows, trends, plain.setAside.suspect), decisions: actions(history) };
}

type Checked = { check: NonNullable<AsideSheet["check"]>; count: number };

async function lastChecks(library: Library, runId: number): Promise<Map<number, Checked>> {
  const checks = new Map<number, Checked>();
  const page = await library.checks.page(runId, { limit: Number.MAX_SAFE_INTEGER });
  for (const { id, sheetNumber, verdict, worst, recut } of page.sort((a, b) => a.id - b.id)) {
    if (sheetNumber !== null) checks.set(sheetNumber, { check: { id, verdict, worst, recut }, count: (checks.get(sheetNumber)?.count ?? 0) + 1 });
  }
  return checks;
}

/** Only what can be seen on the piece: a white edge, or artwork within the safe zone cut into. */
function worstFirst(all: readonly Consequence[]): Consequence[] {
  const harm = (c: Consequence): number => Math.max(c.whiteEdge ?? 0, c.cutInto ?? 0);
  const near = (c: Consequence): number => Math.max(c.outwards, c.inwards);
  return [...all].sort((a, b) => harm(b) - harm(a) || near(b) - near(a)).slice(0, 4);
}

function actions(history: readonly Disposition[]): Decided[] {
  const batches = new Map<number, Disposition[]>();
  for (const d of history) batches.set(d.batch, [...(batches.get(d.batch) ?? []), d]);
  return [...batches.values()].map((all) => {
    const { runId, decision, who, why, batch, madeAt } = all[0];
    return { runId, decision, who, why, batch, madeAt, from: all[0].sheet, to: all[all.length - 1].sheet, count: all.length };
  }).reverse();
}
