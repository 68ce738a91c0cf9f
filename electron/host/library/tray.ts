import type { Transaction } from "kysely";
import type { Refusal, Refused } from "../../../core/check/record.ts";
import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";
import { enterFile, enterPicture, type KeptPicture } from "./pictures.ts";
import type { Tables } from "./tables.ts";

/** Why a picture lies in the tray: the chain's refusal, or `no-job` where nothing says which job it shows. */
export interface TrayReason extends Omit<Refusal, "code"> {
  readonly code: Refusal["code"] | "no-job";
}

/** A picture that could not be measured, with its reason. */
export interface TrayEntry {
  readonly id: number;
  /** SHA-256 of the picture. */
  readonly picture: string;
  readonly path: string;
  readonly image: string;
  readonly reason: TrayReason;
  readonly record: Refused | null;
  /** What the sheet's code said, where it could be read. */
  readonly job: string | null;
  readonly sheet: string | null;
  readonly takenAt: string;
  readonly arrivedAt: string;
}

export interface NewTrayEntry {
  readonly picture: KeptPicture;
  readonly image: string;
  readonly reason: TrayReason;
  readonly record?: Refused;
  readonly job?: string;
  readonly sheet?: string;
  readonly takenAt: string;
  /** The file in the hot folder, remembered so that it is not read again after a restart. */
  readonly file?: string;
}

/** What cannot be measured, kept until it is measured after all or dismissed by somebody. */
export class Tray {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  /** Lays a picture in the tray; one that lies there keeps its place and takes the newer reason. */
  add(entry: NewTrayEntry): Promise<{ added: boolean; id: number }> {
    return this.#context.db.transaction().execute((t) => addToTray(t, entry, this.#context.now()));
  }

  /** What lies in the tray, the latest first. */
  async list({ limit = 200, offset = 0 }: { limit?: number; offset?: number } = {}): Promise<TrayEntry[]> {
    const rows = await this.#select().orderBy("tray.id", "desc").limit(limit).offset(offset).execute();
    return rows.map(({ code, message, hint, record, ...row }) => ({
      ...row, reason: { code: code as TrayReason["code"], message, hint }, record: record === null ? null : (JSON.parse(record) as Refused),
    }));
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<TrayEntry> {
    const found = (await this.list({ limit: Number.MAX_SAFE_INTEGER })).find((entry) => entry.id === id);
    if (!found) throw notFound("picture in the tray with the number", id);
    return found;
  }

  async count(): Promise<number> {
    const row = await this.#context.db.selectFrom("tray").select((e) => e.fn.countAll<number>().as("n")).where("outcome", "is", null)
      .where("deleted_at", "is", null).executeTakeFirstOrThrow();
    return row.n;
  }

  /** Puts a picture out of the tray as of no use; it is not taken in again. @throws LibraryFault "not-found" */
  async dismiss(id: number): Promise<void> {
    const { numUpdatedRows } = await this.#context.db.updateTable("tray").set({ outcome: "dismissed", settled_at: this.#context.now().toISOString() })
      .where("id", "=", id).where("outcome", "is", null).where("deleted_at", "is", null).executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("picture in the tray with the number", id);
  }

  /** Undoes `dismiss`. @throws LibraryFault "not-found" */
  async takeBack(id: number): Promise<void> {
    const { numUpdatedRows } = await this.#context.db.updateTable("tray").set({ outcome: null, settled_at: null })
      .where("id", "=", id).where("outcome", "=", "dismissed").executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("dismissed picture with the number", id);
  }

  /** Forgets that the picture was there: it may be taken in again. */
  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("picture", id);
  }

  #select() {
    return this.#context.db.selectFrom("tray").innerJoin("pictures", "pictures.sha256", "tray.picture")
      .select(["tray.id", "tray.picture", "pictures.path", "tray.image", "tray.code", "tray.message", "tray.hint", "tray.record", "tray.job", "tray.sheet",
        "tray.taken_at as takenAt", "tray.arrived_at as arrivedAt"])
      .where("outcome", "is", null).where("deleted_at", "is", null);
  }
}

/** Lays a picture in the tray within a transaction; see Tray.add. */
async function addToTray(t: Transaction<Tables>, entry: NewTrayEntry, now: Date): Promise<{ added: boolean; id: number }> {
  const { picture, image, reason, record, takenAt, file } = entry;
  await enterPicture(t, picture);
  if (file) await enterFile(t, file, picture.sha256);
  const values = {
    code: reason.code, message: reason.message, hint: reason.hint, record: record ? JSON.stringify(record) : null,
    job: entry.job ?? null, sheet: entry.sheet ?? record?.sheet ?? null,
  };
  const lying = await t.selectFrom("tray").select("id").where("picture", "=", picture.sha256).where("outcome", "is", null).where("deleted_at", "is", null).executeTakeFirst();
  if (lying) {
    await t.updateTable("tray").set(values).where("id", "=", lying.id).execute();
    return { added: false, id: lying.id };
  }
  const { id } = await t.insertInto("tray").values({
    picture: picture.sha256, image, ...values, taken_at: takenAt, arrived_at: now.toISOString(), outcome: null, settled_at: null, deleted_at: null,
  }).returning("id").executeTakeFirstOrThrow();
  return { added: true, id };
}
