import type { Entry, Standing } from "../../../core/setaside/history.ts";
import { firstCut, standings } from "../../../core/setaside/history.ts";
import type { SetAside } from "../../../core/setaside/ranges.ts";
import { LibraryFault } from "../library/faults.ts";
import type { Library } from "../library/library.ts";

/** The largest stack, sheets: three times the tallest that is common practice. */
const TALLEST = 3600;

/** What a run's history says about its stack. */
export interface RunStack {
  /** Sheets in the stack. */
  readonly sheets: number;
  /** Whether `sheets` was told, or is the highest sheet number seen. */
  readonly sheetsKnown: boolean;
  readonly setAside: SetAside;
  /** How each sheet stands now, sheet 1 first. */
  readonly standings: readonly Standing[];
  /** Checks that say nothing about the stack: they have no sheet number, or one beyond its end. */
  readonly outside: number;
}

/**
 * Bad, suspect and clear sheets of a run, the sheet to check next, and how each sheet stands after all decisions. `given`: the size of the stack, in
 * place of the run's own.
 * @throws LibraryFault "not-found"; "invalid" where no sheet is numbered and the stack's size is not known
 */
export async function stackOfRun(library: Library, runId: number, given?: number): Promise<RunStack> {
  const run = await library.runs.get(runId);
  const entries = await historyOf(library, runId);
  const highest = entries.reduce((most, e) => Math.max(most, e.kind === "disposition" ? e.to : e.sheet), 0);
  const told = given ?? run.sheets;
  const sheets = told ?? Math.min(highest, TALLEST);
  if (sheets === 0) throw new LibraryFault("invalid", "Nothing can be said of this stack: its size is not known and no check has a sheet number.", "Enter the number of sheets of the run.");
  const inside = entries.filter((e) => (e.kind === "disposition" ? e.to : e.sheet) <= sheets && (e.kind === "disposition" ? e.from : e.sheet) >= 1);
  const checks = inside.filter((e) => e.kind === "check").length;
  return {
    sheets, sheetsKnown: told !== null, setAside: firstCut(inside, sheets), standings: standings(inside, sheets),
    outside: (await library.checks.count(runId)) - checks,
  };
}

/** The stack; null where nothing can be said of it. @throws LibraryFault "not-found" */
export async function stackOrNull(library: Library, runId: number): Promise<RunStack | null> {
  try {
    return await stackOfRun(library, runId);
  } catch (error) {
    if (error instanceof LibraryFault && error.code === "invalid") return null;
    throw error;
  }
}

/** Checks and decisions of a run's numbered sheets in the order in which they happened. */
async function historyOf(library: Library, runId: number): Promise<Entry[]> {
  const checks = (await library.checks.page(runId, { limit: Number.MAX_SAFE_INTEGER }))
    .flatMap((c) => (c.sheetNumber === null ? [] : [{ at: c.addedAt, entry: { kind: "check", sheet: c.sheetNumber, verdict: c.verdict } as Entry }]));
  const decisions = (await library.dispositions.history(runId)).flatMap(({ sheet, decision, who, why, madeAt }) => {
    if (!/^[1-9]\d*$/.test(sheet)) return [];
    const number = Number(sheet);
    const entry: Entry = decision === "aside" ? { kind: "eye", sheet: number, who, why } : { kind: "disposition", from: number, to: number, action: decision, who, why };
    return [{ at: madeAt, entry }];
  });
  return [...checks, ...decisions].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0)).map((x) => x.entry);
}
