import { createHash } from "node:crypto";
import { copyFileSync, createReadStream, existsSync, mkdirSync, renameSync, rmSync, statSync } from "node:fs";
import { dirname, extname, join, resolve } from "node:path";
import { pipeline } from "node:stream/promises";
import type { Transaction } from "kysely";
import { explained, explainedLater } from "./faults.ts";
import type { Context } from "./library.ts";
import { PICTURES } from "./place.ts";
import type { Settings } from "./shop.ts";
import { syncToDisk } from "./backup.ts";
import type { Tables } from "./tables.ts";

/** A picture file that the library refers to. */
export interface KeptPicture {
  /** SHA-256 of the file's bytes, hex. */
  readonly sha256: string;
  /** Absolute path of the file. */
  readonly path: string;
  readonly bytes: number;
  /** Whether the file is the library's own copy, else it stays where the shop has it. */
  readonly copied: boolean;
}

/** Picture files: where they are, and whether the library keeps its own copy (setting "pictures"). */
export class Pictures {
  readonly #context: Context;
  readonly #settings: Settings;

  constructor(context: Context, settings: Settings) {
    this.#context = context;
    this.#settings = settings;
  }

  /**
   * Identifies a picture file and copies it where the shop has chosen so, or the caller asks; a copy is whole and on the disk before this returns.
   * Nothing is entered in the database: adding a check or a tray entry does that.
   * @throws LibraryFault
   */
  async keep(path: string, { copy = false } = {}): Promise<KeptPicture> {
    const sha256 = await hashFile(path);
    const bytes = explained(path, () => statSync(path).size);
    const copied = copy || (await this.#settings.get("pictures")) === "copy";
    return { sha256, bytes, copied, path: copied ? this.#copy(path, sha256) : resolve(path) };
  }

  /** Where the picture with this hash is; null where the library does not know it. */
  async find(sha256: string): Promise<KeptPicture | null> {
    const row = await this.#context.db.selectFrom("pictures").selectAll().where("sha256", "=", sha256).executeTakeFirst();
    return row ? { ...row, copied: row.copied === 1 } : null;
  }

  /** Whether the picture counts somewhere: as a check of a run, or in the tray. */
  async isTaken(sha256: string): Promise<boolean> {
    const { db } = this.#context;
    const check = await db.selectFrom("checks").innerJoin("runs", "runs.id", "checks.run_id").select("checks.id").where("picture", "=", sha256)
      .where("checks.deleted_at", "is", null).where("runs.deleted_at", "is", null).limit(1).executeTakeFirst();
    if (check) return true;
    const tray = await db.selectFrom("tray").select("id").where("picture", "=", sha256).where("deleted_at", "is", null).limit(1).executeTakeFirst();
    return tray !== undefined;
  }

  /** The hash of a file looked at before, if it has not changed since. */
  async seen(path: string): Promise<string | null> {
    const status = statSync(path, { throwIfNoEntry: false });
    if (!status) return null;
    const row = await this.#context.db.selectFrom("files_seen").select("picture").where("path", "=", resolve(path)).where("bytes", "=", status.size)
      .where("modified_ms", "=", status.mtimeMs).executeTakeFirst();
    return row?.picture ?? null;
  }

  #copy(path: string, sha256: string): string {
    const to = join(resolve(this.#context.folder), PICTURES, sha256.slice(0, 2), sha256 + extname(path).toLowerCase());
    if (existsSync(to)) return to;
    return explained(to, () => {
      const draft = `${to}.${process.pid}.draft`;
      mkdirSync(dirname(to), { recursive: true });
      try {
        copyFileSync(path, draft);
        syncToDisk(draft);
        renameSync(draft, to);
        syncToDisk(dirname(to));
      } finally {
        rmSync(draft, { force: true });
      }
      return to;
    });
  }
}

/** Enters a picture that a check or tray entry of the same transaction refers to. A known one keeps its place unless it was lost or is now copied. */
export async function enterPicture(t: Transaction<Tables>, { sha256, path, bytes, copied }: KeptPicture): Promise<void> {
  await t.insertInto("pictures").values({ sha256, path, bytes, copied: copied ? 1 : 0 })
    .onConflict((c) => c.column("sha256").doUpdateSet({ path, copied: copied ? 1 : 0 }).where("pictures.copied", "=", 0)).execute();
}

/** Notes which picture a file was, so that after a restart it need not be read again. `file` is the one in the hot folder. */
export async function enterFile(t: Transaction<Tables>, file: string, picture: string): Promise<void> {
  const status = statSync(file, { throwIfNoEntry: false });
  if (!status) return;
  const row = { path: resolve(file), bytes: status.size, modified_ms: status.mtimeMs, picture };
  await t.insertInto("files_seen").values(row).onConflict((c) => c.column("path").doUpdateSet(row)).execute();
}

/** SHA-256 of a file's bytes, hex. @throws LibraryFault */
export async function hashFile(path: string): Promise<string> {
  const hash = createHash("sha256");
  await explainedLater(path, () => pipeline(createReadStream(path), hash));
  return hash.digest("hex");
}
