import { LibraryFault, notFound } from "./faults.ts";
import type { Context } from "./library.ts";

/** `aside`: set aside by eye (misprint, damage) or as suspect, not yet decided. */
export const DECISIONS = ["aside", "accept", "re-cut", "reprint", "scrap", "concession"] as const;
export type Decision = (typeof DECISIONS)[number];

/** What was decided about a sheet, by whom and why. */
export interface Disposition {
  readonly id: number;
  readonly runId: number;
  readonly sheet: string;
  readonly decision: Decision;
  readonly who: string;
  readonly why: string;
  /** Entries made by one action (a range of sheets) carry the same number. */
  readonly batch: number;
  readonly madeAt: string;
}

export interface NewDisposition {
  readonly runId: number;
  /** One sheet, or a range with both its ends. */
  readonly sheets: readonly string[] | { readonly from: number; readonly to: number };
  readonly decision: Decision;
  readonly who: string;
  readonly why: string;
}

/** Longest range that one decision may cover, sheets: three times the tallest stack that is common practice. */
const LONGEST = 3600;

const COLUMNS = ["id", "run_id as runId", "sheet", "decision", "who", "why", "batch", "made_at as madeAt"] as const;

/** Decisions about sheets. A later one takes the earlier one's place and leaves it in the history. */
export class Dispositions {
  readonly #context: Context;

  constructor(context: Context) {
    this.#context = context;
  }

  /** Enters one decision for one or many sheets, all or none. @throws LibraryFault "invalid" without who or why, or with a wrong range */
  async decide({ runId, sheets, decision, who, why }: NewDisposition): Promise<Disposition[]> {
    const names = "from" in sheets ? range(sheets.from, sheets.to) : sheets;
    if (names.length === 0 || names.some((n) => n.trim() === "")) throw new LibraryFault("invalid", "No sheet was named.", "Name the sheets that the decision is for.");
    if (who.trim() === "" || why.trim() === "") throw new LibraryFault("invalid", "A decision needs who made it and why.", "Enter both.");
    const made_at = this.#context.now().toISOString();
    const batch = await this.#context.db.transaction().execute(async (t) => {
      if (!(await t.selectFrom("runs").select("id").where("id", "=", runId).where("deleted_at", "is", null).executeTakeFirst())) throw notFound("run", runId);
      const last = await t.selectFrom("dispositions").select((e) => e.fn.max("batch").as("batch")).executeTakeFirst();
      const batch = (last?.batch ?? 0) + 1;
      const rows = names.map((sheet) => ({ run_id: runId, sheet, decision, who, why, batch, made_at, deleted_at: null }));
      // SQLite binds at most 32,766 values in one statement.
      for (let i = 0; i < rows.length; i += 1000) await t.insertInto("dispositions").values(rows.slice(i, i + 1000)).execute();
      return batch;
    });
    return this.#read((await this.#rows().where("batch", "=", batch).orderBy("id").execute()));
  }

  /** Takes one action's decisions back: the earlier ones count again. @throws LibraryFault "not-found" */
  async takeBack(batch: number): Promise<void> {
    const { numUpdatedRows } = await this.#context.db.updateTable("dispositions").set({ deleted_at: this.#context.now().toISOString() })
      .where("batch", "=", batch).where("deleted_at", "is", null).executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("decision", batch);
  }

  /** Brings decisions back that were taken back. @throws LibraryFault "not-found" */
  async putBack(batch: number): Promise<void> {
    const { numUpdatedRows } = await this.#context.db.updateTable("dispositions").set({ deleted_at: null })
      .where("batch", "=", batch).where("deleted_at", "is not", null).executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("decision", batch);
  }

  /** The decision that counts for each sheet of a run. */
  async current(runId: number): Promise<Map<string, Disposition>> {
    return new Map((await this.history(runId)).map((d) => [d.sheet, d]));
  }

  /** All decisions of a run (of one sheet, where given) in the order in which they were made. */
  async history(runId: number, sheet?: string): Promise<Disposition[]> {
    const rows = this.#rows().where("run_id", "=", runId).orderBy("id");
    return this.#read(await (sheet === undefined ? rows : rows.where("sheet", "=", sheet)).execute());
  }

  #rows() {
    return this.#context.db.selectFrom("dispositions").select(COLUMNS).where("deleted_at", "is", null);
  }

  #read(rows: readonly (Omit<Disposition, "decision"> & { decision: string })[]): Disposition[] {
    return rows.map((r) => ({ ...r, decision: r.decision as Decision }));
  }
}

function range(from: number, to: number): string[] {
  if (!Number.isInteger(from) || !Number.isInteger(to) || from < 1 || to < from || to - from >= LONGEST) {
    throw new LibraryFault("invalid", `Sheets ${from} to ${to} are no range.`, `Give whole numbers, the lower one first, at most ${LONGEST} sheets.`);
  }
  return Array.from({ length: to - from + 1 }, (_, i) => String(from + i));
}
