import { deflateRawSync, inflateRawSync } from "node:zlib";
import type { Transaction } from "kysely";
import type { CheckOutcome, CheckRecord, Measured, Overlay, Verdict } from "../../../core/check/record.ts";
import type { Deletion, Deletions } from "./deletions.ts";
import { LibraryFault, notFound } from "./faults.ts";
import { columnsOf, NO_PLACE, sheetNumber } from "./judgedValues.ts";
import type { Context } from "./library.ts";
import { enterFile, enterPicture, type KeptPicture } from "./pictures.ts";
import { readSeries, type Series, type SeriesOptions } from "./series.ts";
import type { Tables } from "./tables.ts";

/** A check in a list. */
export interface CheckRow {
  readonly id: number;
  readonly runId: number;
  readonly jobVersionId: number;
  /** SHA-256 of its picture. */
  readonly picture: string;
  readonly image: string;
  readonly sheet: string | null;
  readonly sheetNumber: number | null;
  /** Local time without a zone, ISO 8601. */
  readonly takenAt: string;
  /** How often the sheet had been cut again before this check. */
  readonly recut: number;
  readonly verdict: Verdict;
  /** Worst deviation with its sign, mm, and its expanded uncertainty. */
  readonly worst: number;
  readonly worstU: number;
  readonly worstFeature: string;
  readonly offsetX: number;
  readonly offsetY: number;
  readonly rotation: number;
  readonly addedAt: string;
}

export interface NewCheck {
  readonly runId: number;
  readonly jobVersionId: number;
  readonly picture: KeptPicture;
  readonly outcome: CheckOutcome & { readonly record: Measured };
  /** The operator's sheet number, where the sheet itself carries none. */
  readonly sheet?: string;
  /** Capture time: local, without a zone, ISO 8601. */
  readonly takenAt: string;
  /** The file in the hot folder, remembered so that it is not read again after a restart. */
  readonly file?: string;
}

/** `added: false`: the picture was in this run already, and `id` is its check there. */
export interface Added {
  readonly added: boolean;
  readonly id: number;
}

const ROW = [
  "checks.id", "run_id as runId", "job_version_id as jobVersionId", "picture", "image", "sheet", "sheet_number as sheetNumber", "taken_at as takenAt", "recut",
  "verdict", "worst", "worst_u as worstU", "worst_feature as worstFeature", "offset_x as offsetX", "offset_y as offsetY", "rotation", "added_at as addedAt",
] as const;

/** Checks: one per picture and run. */
export class Checks {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  /** Enters a measured sheet. When this returns, the check is on the disk. A picture that the run has already is not entered again. @throws LibraryFault */
  add(check: NewCheck): Promise<Added> {
    return this.#context.db.transaction().execute((t) => addCheck(t, check, this.#context.now()));
  }

  /** Enters many measured sheets, all or none, in one transaction. @throws LibraryFault */
  addAll(checks: readonly NewCheck[]): Promise<Added[]> {
    return this.#context.db.transaction().execute(async (t) => {
      const added: Added[] = [];
      for (const check of checks) added.push(await addCheck(t, check, this.#context.now()));
      return added;
    });
  }

  /**
   * Puts a new measurement of the same picture in the place of the former one, which stays in the history (`revisions`).
   * @throws LibraryFault "not-found"
   */
  async measureAgain(id: number, outcome: CheckOutcome & { readonly record: Measured }, jobVersionId: number): Promise<void> {
    await this.#context.db.transaction().execute(async (t) => {
      const { numUpdatedRows } = await t.updateTable("checks").set({ ...columnsOf(outcome.record), job_version_id: jobVersionId })
        .where("id", "=", id).where("deleted_at", "is", null).executeTakeFirstOrThrow();
      if (numUpdatedRows === 0n) throw notFound("check", id);
      const last = await t.selectFrom("check_records").select((e) => e.fn.max("revision").as("revision")).where("check_id", "=", id).executeTakeFirstOrThrow();
      await enterRecord(t, id, last.revision + 1, outcome, jobVersionId, this.#context.now());
    });
  }

  /** Corrects the sheet's name or number of a check. @throws LibraryFault "not-found" */
  async renameSheet(id: number, sheet: string | null): Promise<void> {
    const number = sheetNumber(sheet);
    const { numUpdatedRows } = await this.#context.db.updateTable("checks").set({ sheet, sheet_number: number, place: number ?? NO_PLACE })
      .where("id", "=", id).where("deleted_at", "is", null).executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("check", id);
  }

  /** The checks of a run in its order (sheet number, else capture time), a page at a time. */
  async page(runId: number, { offset = 0, limit = 100 }: { offset?: number; limit?: number } = {}): Promise<CheckRow[]> {
    const rows = await this.#context.db.selectFrom("checks").select(ROW).where("run_id", "=", runId).where("deleted_at", "is", null)
      .orderBy("place").orderBy("taken_at").orderBy("id").limit(limit).offset(offset).execute();
    return rows as CheckRow[];
  }

  async count(runId: number): Promise<number> {
    const row = await this.#context.db.selectFrom("checks").select((e) => e.fn.countAll<number>().as("n")).where("run_id", "=", runId)
      .where("deleted_at", "is", null).executeTakeFirstOrThrow();
    return row.n;
  }

  /** The highest sheet number checked in a run; null where none has one. */
  async highestSheet(runId: number): Promise<number | null> {
    const row = await this.#context.db.selectFrom("checks").select("place").where("run_id", "=", runId).where("deleted_at", "is", null)
      .where("place", "<", NO_PLACE).orderBy("place", "desc").limit(1).executeTakeFirst();
    return row?.place ?? null;
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<CheckRow> {
    const row = await this.#context.db.selectFrom("checks").select(ROW).where("id", "=", id).where("deleted_at", "is", null).executeTakeFirst();
    if (!row) throw notFound("check", id);
    return row as CheckRow;
  }

  /** All checks of one sheet in the order in which they were made: its history. */
  async ofSheet(runId: number, sheet: string): Promise<CheckRow[]> {
    const rows = await this.#context.db.selectFrom("checks").select(ROW).where("run_id", "=", runId).where("place", "=", sheetNumber(sheet) ?? NO_PLACE)
      .where("sheet", "=", sheet).where("deleted_at", "is", null).orderBy("id").execute();
    return rows as CheckRow[];
  }

  /** The whole record of a check with what the screens draw over the picture. @throws LibraryFault "not-found" */
  async outcome(id: number): Promise<CheckOutcome & { readonly record: Measured }> {
    return (await this.revisions(id))[0];
  }

  /** All measurements of a check's picture, the one that counts first. @throws LibraryFault "not-found" */
  async revisions(id: number): Promise<(CheckOutcome & { readonly record: Measured; readonly jobVersionId: number; readonly madeAt: string })[]> {
    const rows = await this.#context.db.selectFrom("check_records").selectAll().where("check_id", "=", id).orderBy("revision", "desc").execute();
    if (rows.length === 0) throw notFound("check", id);
    return rows.map((r) => ({
      record: JSON.parse(r.record) as Measured,
      ...(r.overlay && { overlay: JSON.parse(inflateRawSync(r.overlay).toString("utf8")) as Overlay }),
      jobVersionId: r.job_version_id, madeAt: r.made_at,
    }));
  }

  /** The records of a run in its order, one after the other; for reports and exports. */
  async *records(runId: number): AsyncGenerator<CheckRecord> {
    for (let offset = 0; ; offset += 200) {
      const rows = await this.page(runId, { offset, limit: 200 });
      for (const row of rows) yield (await this.outcome(row.id)).record;
      if (rows.length < 200) return;
    }
  }

  /** Judged values of a run in its order, as columns. */
  series(runId: number, options: SeriesOptions): Promise<Series> {
    return readSeries(this.#context.db, runId, options);
  }

  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("check", id);
  }
}

/** Enters a check within a transaction; see Checks.add. */
export async function addCheck(t: Transaction<Tables>, check: NewCheck, now: Date): Promise<Added> {
  const { runId, jobVersionId, picture, outcome, takenAt, file } = check;
  const run = await t.selectFrom("runs").select("id").where("id", "=", runId).where("deleted_at", "is", null).executeTakeFirst();
  if (!run) throw notFound("run", runId);
  if (outcome.record.status !== "measured") throw new LibraryFault("invalid", "A sheet that could not be measured is no check.", "Lay it in the tray.");
  await enterPicture(t, picture);
  if (file) await enterFile(t, file, picture.sha256);
  const known = await t.selectFrom("checks").select("id").where("picture", "=", picture.sha256).where("run_id", "=", runId).where("deleted_at", "is", null)
    .executeTakeFirst();
  if (known) return { added: false, id: known.id };
  const sheet = outcome.record.sheet ?? check.sheet ?? null;
  const number = sheetNumber(sheet);
  const { id } = await t.insertInto("checks").values({
    run_id: runId, job_version_id: jobVersionId, picture: picture.sha256, image: outcome.record.image,
    sheet, sheet_number: number, place: number ?? NO_PLACE, taken_at: takenAt, recut: sheet === null ? 0 : await timesCutAgain(t, runId, sheet),
    ...columnsOf(outcome.record), added_at: now.toISOString(), deleted_at: null,
  }).returning("id").executeTakeFirstOrThrow();
  await enterRecord(t, id, 1, outcome, jobVersionId, now);
  await t.updateTable("tray").set({ outcome: "measured", settled_at: now.toISOString() }).where("picture", "=", picture.sha256).where("outcome", "is", null).where("deleted_at", "is", null).execute();
  return { added: true, id };
}

async function enterRecord(t: Transaction<Tables>, check_id: number, revision: number, outcome: CheckOutcome, job_version_id: number, now: Date): Promise<void> {
  const overlay = outcome.overlay ? deflateRawSync(JSON.stringify(outcome.overlay)) : null;
  await t.insertInto("check_records").values({ check_id, revision, record: JSON.stringify(outcome.record), overlay, job_version_id, made_at: now.toISOString() }).execute();
}

async function timesCutAgain(t: Transaction<Tables>, runId: number, sheet: string): Promise<number> {
  const row = await t.selectFrom("dispositions").select((e) => e.fn.countAll<number>().as("n")).where("run_id", "=", runId).where("sheet", "=", sheet)
    .where("decision", "=", "re-cut").where("deleted_at", "is", null).executeTakeFirstOrThrow();
  return row.n;
}
