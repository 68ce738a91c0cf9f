import { statSync } from "node:fs";
import Database from "better-sqlite3";
import { Kysely, SqliteAdapter, SqliteDialect, type DialectAdapter, type SqliteDatabase, type SqliteStatement } from "kysely";
import { explained, LibraryFault } from "./faults.ts";
import { isOnNetwork } from "./place.ts";
import type { Tables } from "./tables.ts";

/** How long a writer waits for another one, ms. */
const PATIENCE = 10_000;

export type Connection = Kysely<Tables>;

/** Inside one transaction or outside: what the subjects' queries run on. */
export interface Opened {
  readonly db: Connection;
  /** The connection below Kysely, for what SQL has no words for: online backup. */
  readonly raw: Database.Database;
  /** Path of the database file. */
  readonly file: string;
}

/**
 * Opens the database file with the settings on which the library's promise rests: a commit is on the disk before it is
 * acknowledged (`synchronous=FULL`), and entries that belong together cannot be parted (foreign keys).
 * @throws LibraryFault
 */
export function openDatabase(file: string, folder: string, readonly = false): Opened {
  return explained(file, () => {
    const raw = new Database(file, { timeout: PATIENCE, readonly });
    try {
      if (!readonly) raw.pragma(`journal_mode = ${isOnNetwork(folder) ? "TRUNCATE" : "WAL"}`);
      raw.pragma("synchronous = FULL");
      raw.pragma("foreign_keys = ON");
      raw.pragma("cache_size = -32000");
      return { raw, file, db: new Kysely<Tables>({ dialect: new LibraryDialect({ database: guarded(raw, file) }) }) };
    } catch (error) {
      raw.close();
      throw error;
    }
  });
}

/** SQLite can change its schema inside a transaction, so a migration is all or nothing; Kysely's own adapter does not use that. */
class LibraryDialect extends SqliteDialect {
  override createAdapter(): DialectAdapter {
    return new (class extends SqliteAdapter {
      override get supportsTransactionalDdl(): boolean {
        return true;
      }
    })();
  }
}

/**
 * The database as Kysely sees it. Errors become sentences; statements are prepared once; a transaction takes the write lock at its
 * start (one that reads first and writes later could be refused in the middle); and nothing is written to, or acknowledged from,
 * a file that was moved or deleted behind our back: the system would go on writing into a file without a name.
 */
function guarded(raw: Database.Database, file: string): SqliteDatabase {
  const statements = new Map<string, SqliteStatement>();
  const id = identity(file);
  const assertInPlace = () => {
    if (identity(file) === id) return;
    throw new LibraryFault("vanished", `The library's database is no longer where it was opened: ${file}.`,
      "Connect the disk or network folder again (or put the folder back), then start again; what was not acknowledged was not recorded.");
  };
  const prepare = (text: string): SqliteStatement => {
    const known = statements.get(text);
    if (known) return known;
    const made = raw.prepare(text);
    if (statements.size > 500) statements.clear();
    const statement = guardedStatement(made, file, /^(begin|commit|insert|update|delete)/i.test(text) ? assertInPlace : () => undefined);
    // SQLite itself has rolled back where the disk was full; a second rollback would hide that error behind its own.
    const kept = text !== "rollback" ? statement : { ...statement, run: () => (raw.inTransaction ? statement.run([]) : { changes: 0, lastInsertRowid: 0 }) };
    statements.set(text, kept);
    return kept;
  };
  return {
    prepare: (text) => explained(file, () => prepare(text === "begin" ? "begin immediate" : text)),
    close: () => raw.close(),
  };
}

function guardedStatement(statement: Database.Statement, file: string, before: () => void): SqliteStatement {
  const watched = <T>(work: () => T) => explained(file, () => {
    before();
    return work();
  });
  return {
    reader: statement.reader,
    all: (parameters) => watched(() => statement.all(...parameters)),
    run: (parameters) => watched(() => statement.run(...parameters)),
    iterate: (parameters) => watched(() => statement.iterate(...parameters)),
  };
}

/** Device and number of the file: another file at the same path has another one. */
function identity(file: string): string {
  const status = statSync(file, { throwIfNoEntry: false });
  return status ? `${status.dev}:${status.ino}` : "";
}
