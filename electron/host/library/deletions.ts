import { LibraryFault, notFound } from "./faults.ts";
import type { Context } from "./library.ts";

/** The tables whose rows can be deleted and brought back, by the word that people know them by. */
const TABLES = {
  job: "jobs",
  run: "runs",
  check: "checks",
  event: "events",
  tool: "tools",
  picture: "tray",
  preset: "presets",
  profile: "profiles",
} as const;

export type Subject = keyof typeof TABLES;

export interface Deletion {
  readonly id: number;
  readonly subject: Subject;
  readonly subjectId: number;
  readonly madeAt: string;
}

/** Deletions and their undoing. A deleted entry does not count and is not shown, and stays in the database. */
export class Deletions {
  readonly #context: Context;

  constructor(context: Context) {
    this.#context = context;
  }

  /**
   * Deletes an entry; what hangs on it (a run's checks) is hidden with it.
   * @throws LibraryFault "not-found"
   */
  async delete(subject: Subject, id: number): Promise<Deletion> {
    const madeAt = this.#context.now().toISOString();
    return this.#context.db.transaction().execute(async (t) => {
      const { numUpdatedRows } = await t.updateTable(TABLES[subject]).set({ deleted_at: madeAt }).where("id", "=", id)
        .where("deleted_at", "is", null).executeTakeFirstOrThrow();
      if (numUpdatedRows === 0n) throw notFound(subject, id);
      const row = await t.insertInto("deletions").values({ subject, subject_id: id, made_at: madeAt, undone_at: null })
        .returning("id").executeTakeFirstOrThrow();
      return { id: row.id, subject, subjectId: id, madeAt };
    });
  }

  /**
   * Undoes a deletion.
   * @throws LibraryFault "not-found" where there is none, or it was undone; "conflict" where the entry was made anew meanwhile
   */
  async undo(deletionId: number): Promise<Deletion> {
    return this.#context.db.transaction().execute(async (t) => {
      const row = await t.selectFrom("deletions").selectAll().where("id", "=", deletionId).where("undone_at", "is", null).executeTakeFirst();
      if (!row) throw notFound("deletion", deletionId);
      const subject = row.subject as Subject;
      try {
        await t.updateTable(TABLES[subject]).set({ deleted_at: null }).where("id", "=", row.subject_id).execute();
      } catch (error) {
        if (!(error instanceof LibraryFault && error.code === "conflict")) throw error;
        throw new LibraryFault("conflict", `The deleted ${subject} cannot come back: the same one has been entered again since.`, "Delete the newer one first.", error);
      }
      await t.updateTable("deletions").set({ undone_at: this.#context.now().toISOString() }).where("id", "=", deletionId).execute();
      return { id: row.id, subject, subjectId: row.subject_id, madeAt: row.made_at };
    });
  }

  /** The deletions that can be undone, the latest first. */
  async list(limit = 50): Promise<Deletion[]> {
    const rows = await this.#context.db.selectFrom("deletions").selectAll().where("undone_at", "is", null).orderBy("id", "desc").limit(limit).execute();
    return rows.map((r) => ({ id: r.id, subject: r.subject as Subject, subjectId: r.subject_id, madeAt: r.made_at }));
  }
}
