import { existsSync, mkdirSync, readdirSync, renameSync, rmSync } from "node:fs";
import { basename, join } from "node:path";
import Database from "better-sqlite3";
import type { Job } from "../../../core/job/schema.ts";
import type { DeskPicture } from "./desk.ts";
import { AppFault } from "./fault.ts";
import { readJobText } from "./jobText.ts";

/** What was left on the desk when the program ended: the open job, and the pictures that had not been measured. */
export interface LeftOnDesk {
  readonly job: Job;
  readonly sample: boolean;
  readonly pictures: readonly { readonly picture: DeskPicture; readonly path: string }[];
}

/** Pictures that wait at the most, bytes: more would fill the disk unseen. */
const LARGEST_INBOX = 20 * 2 ** 30;

/** A file that is needed no longer stays for so long, ms: it may be shown at this moment, or its picture be put back. */
const LINGER_MS = 10 * 60_000;

const TABLE = "inbox.sqlite";

/**
 * What lies on the desk and is not measured yet, kept on the disk: a picture that was pasted, or came from a phone or the camera, has no
 * file of its own. Its files are in `folder`, and a table beside them says what they are. The table stays locked while the program runs, so
 * that a second program on the same library takes an inbox of its own; the system lets go of the lock however the program ends.
 */
export class Inbox {
  /** Where pictures are put. */
  readonly folder: string;
  readonly #table: Database.Database;
  #fading: { readonly path: string; readonly since: number }[] = [];

  private constructor(folder: string, table: Database.Database) {
    this.folder = folder;
    this.#table = table;
  }

  /** Takes the first inbox below `folder` in which something waits and that no other program has, else the first free one. */
  static open(folder: string): Inbox {
    let free: Inbox | undefined;
    for (let n = 1; ; n++) {
      const place = join(folder, String(n));
      const isNew = !existsSync(place);
      if (isNew && free) return free;
      const table = openTable(place);
      if (!table) continue;
      const one = new Inbox(place, table);
      if (isNew || one.bytes() > 0) {
        free?.close();
        return one;
      }
      if (free) one.close();
      else free = one;
    }
  }

  /** Notes the job that is open. */
  openJob(job: Job, sample: boolean): void {
    this.#table.prepare("insert into job (id, text, sample) values (1, ?, ?) on conflict (id) do update set text = excluded.text, sample = excluded.sample")
      .run(JSON.stringify(job), sample ? 1 : 0);
  }

  /** Notes a picture whose file is in the folder; other files stay where they are and need no note. */
  add({ id, name, sha256, bytes, takenInAt, from }: DeskPicture, path: string): void {
    if (!this.#isMine(path)) return;
    this.#fading = this.#fading.filter((one) => one.path !== path);
    this.#table.prepare("insert or replace into waiting (id, name, sha256, bytes, taken_in_at, sender, file) values (?, ?, ?, ?, ?, ?, ?)")
      .run(id, name, sha256, bytes, takenInAt, from ?? null, basename(path));
  }

  /** The picture waits no longer: a next start knows nothing of it. Its file goes in a while where it is needed no longer. */
  remove(id: string, path?: string, now = Date.now()): void {
    this.#table.prepare("delete from waiting where id = ?").run(id);
    if (path !== undefined && this.#isMine(path)) this.#fading.push({ path, since: now });
  }

  /**
   * Makes room for another picture: files that have been needed no longer for a while are deleted.
   * @throws AppFault 409 where more waits than the disk should have to hold
   */
  makeRoom(now = Date.now(), largest = LARGEST_INBOX): void {
    if (this.bytes() >= largest) {
      throw new AppFault(409, "desk-full", "Too many pictures wait on the desk.", "Let them be measured, or take some off; then put in the others.");
    }
    const old = this.#fading.filter(({ since }) => now - since >= LINGER_MS);
    this.#fading = this.#fading.filter(({ since }) => now - since < LINGER_MS);
    for (const { path } of old) rmSync(path, { force: true });
  }

  /** How much waits, bytes. */
  bytes(): number {
    return this.#table.prepare("select coalesce(sum(bytes), 0) from waiting").pluck().get() as number;
  }

  /** What was left by the program before; null where nothing was. Files that belong to nothing are deleted. */
  left(): LeftOnDesk | null {
    const rows = this.#table.prepare("select * from waiting order by position").all() as WaitingRow[];
    const named = new Set(rows.map(({ file }) => file));
    for (const file of readdirSync(this.folder)) if (!file.startsWith(TABLE) && !named.has(file)) rmSync(join(this.folder, file), { force: true });
    const job = this.#table.prepare("select text, sample from job").get() as { text: string; sample: number } | undefined;
    const read = job && readJobText(job.text);
    const pictures = rows.filter(({ file }) => existsSync(join(this.folder, file))).map((row) => ({ picture: pictureOf(row), path: join(this.folder, row.file) }));
    return read?.ok && pictures.length > 0 ? { job: read.job, sample: job?.sample === 1, pictures } : null;
  }

  close(): void {
    if (!this.#table.open) return;
    for (const { path } of this.#fading) rmSync(path, { force: true });
    this.#table.close();
  }

  #isMine(path: string): boolean {
    return join(this.folder, basename(path)) === path;
  }
}

interface WaitingRow {
  readonly id: string;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly taken_in_at: string;
  readonly sender: "screen" | "phone" | "shell" | null;
  readonly file: string;
}

function pictureOf({ id, name, sha256, bytes, taken_in_at: takenInAt, sender }: WaitingRow): DeskPicture {
  return { id, name, sha256, bytes, takenInAt, from: sender ?? undefined, resumed: true };
}

/** The table in a folder, locked for as long as it is open; undefined where another program has it. A damaged one is set aside with its pictures. */
function openTable(folder: string): Database.Database | undefined {
  try {
    return lockedTable(folder);
  } catch (error) {
    const { code = "" } = error as { code?: string };
    if (code.startsWith("SQLITE_BUSY")) return undefined;
    if (code !== "SQLITE_NOTADB" && !code.startsWith("SQLITE_CORRUPT")) throw error;
    const aside = `${folder}-damaged-${Date.now()}`;
    renameSync(folder, aside);
    console.error(`The list of the pictures that wait on the desk is damaged. The pictures are in ${aside}: put them in again.`);
    return lockedTable(folder);
  }
}

function lockedTable(folder: string): Database.Database {
  mkdirSync(folder, { recursive: true });
  const table = new Database(join(folder, TABLE), { timeout: 0 });
  try {
    table.pragma("locking_mode = EXCLUSIVE");
    table.exec("begin exclusive; commit");
    table.pragma("synchronous = FULL");
    table.exec(`create table if not exists job (id integer primary key check (id = 1), text text not null, sample integer not null);
      create table if not exists waiting (position integer primary key autoincrement, id text not null unique, name text not null, sha256 text not null,
        bytes integer not null, taken_in_at text not null, sender text, file text not null)`);
    return table;
  } catch (error) {
    table.close();
    throw error;
  }
}
