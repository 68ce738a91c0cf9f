import { existsSync, readdirSync, statSync } from "node:fs";
import { basename, join } from "node:path";
import { openDatabase, type Opened } from "./connection.ts";
import { asLibraryFault, LibraryFault } from "./faults.ts";
import { hashFile } from "./pictures.ts";
import { DATABASE, PICTURES } from "./place.ts";
import { appliedMigrations } from "./migrate.ts";

/** What was found in a library. */
export interface Verification {
  /** Each one sentence. Empty: the records are whole. */
  readonly problems: readonly string[];
  /** What is worth knowing and harms no record: pictures that are not where they were, copies that nothing refers to. */
  readonly remarks: readonly string[];
  readonly counts: { readonly jobs: number; readonly runs: number; readonly checks: number; readonly tray: number };
}

/**
 * Looks through the whole library without changing it: the database's own structure, the references between entries, whether every check
 * has its record and agrees with it, whether pictures are there. With `hashes` every picture is read and compared with its SHA-256.
 * @throws LibraryFault where there is no library or it cannot be opened
 */
export async function verifyLibrary(folder: string, { hashes = false }: { hashes?: boolean } = {}): Promise<Verification> {
  const opened = openUnlessDamaged(folder);
  if ("problems" in opened) return opened;
  try {
    const problems = databaseProblems(opened);
    if (problems.length > 0) return damaged(problems);
    const remarks = [...(await missingPictures(opened, hashes)), ...strayCopies(opened, folder)];
    const count = (table: string) => opened.raw.prepare(`select count(*) from ${table} where deleted_at is null`).pluck().get() as number;
    // The checks of a deleted run are hidden with it.
    const checks = opened.raw.prepare("select count(*) from checks c join runs r on r.id = c.run_id where c.deleted_at is null and r.deleted_at is null").pluck().get() as number;
    return { problems: recordProblems(opened), remarks, counts: { jobs: count("jobs"), runs: count("runs"), checks, tray: count("tray") } };
  } finally {
    opened.raw.close();
  }
}

/** A file so damaged that it does not even open is a finding, not a failure of the verification. */
function openUnlessDamaged(folder: string): Opened | Verification {
  try {
    return openExisting(folder);
  } catch (error) {
    if (error instanceof LibraryFault && error.code === "damaged") return damaged([error.message]);
    throw error;
  }
}

const damaged = (problems: readonly string[]): Verification => ({ problems, remarks: [], counts: { jobs: 0, runs: 0, checks: 0, tray: 0 } });

/** Opens the library's database for reading only. @throws LibraryFault */
export function openExisting(folder: string): Opened {
  const file = join(folder, DATABASE);
  if (!existsSync(file)) throw new LibraryFault("missing", `There is no library in this folder: ${folder}.`, "Name the folder of the library.");
  return openDatabase(file, folder, true);
}

/** What SQLite itself finds wrong with the file; also where the file is no library. */
export function databaseProblems({ raw, file }: Pick<Opened, "raw" | "file">): string[] {
  try {
    const integrity = (raw.pragma("integrity_check") as { integrity_check: string }[]).map((r) => r.integrity_check).filter((r) => r !== "ok");
    const references = raw.pragma("foreign_key_check") as { table: string; rowid: number; parent: string }[];
    return [
      ...(appliedMigrations({ raw }).length === 0 ? ["The file is no library: it has none of its tables."] : []),
      ...integrity.map((r) => `The database is damaged: ${r}.`),
      ...references.map((r) => `An entry of "${r.table}" (row ${r.rowid}) refers to one of "${r.parent}" that is not there.`),
    ];
  } catch (error) {
    const fault = asLibraryFault(error, file);
    if (fault instanceof LibraryFault && fault.code === "damaged") return [fault.message];
    throw fault;
  }
}

function recordProblems({ raw }: Opened): string[] {
  const rows = raw.prepare(`
    select c.id, r.check_id is null as lost, json_extract(r.record, '$.verdict') is not c.verdict or json_extract(r.record, '$.worst.value') is not c.worst as differs
    from checks c left join check_records r on r.check_id = c.id and r.revision = (select max(revision) from check_records where check_id = c.id)
    where lost or differs`).all() as { id: number; lost: number }[];
  return rows.map((r) => (r.lost ? `Check ${r.id} has no record.` : `Check ${r.id} does not agree with its record.`));
}

async function missingPictures({ raw }: Opened, hashes: boolean): Promise<string[]> {
  const remarks: string[] = [];
  const rows = raw.prepare("select sha256, path, bytes from pictures order by path").all() as { sha256: string; path: string; bytes: number }[];
  for (const { sha256, path, bytes } of rows) {
    const status = statSync(path, { throwIfNoEntry: false });
    if (!status) remarks.push(`A picture is no longer where it was: ${path}.`);
    else if (status.size !== bytes || (hashes && (await hashFile(path)) !== sha256)) remarks.push(`A picture is not the one that was measured: ${path}.`);
  }
  return remarks;
}

function strayCopies({ raw }: Opened, folder: string): string[] {
  const pictures = join(folder, PICTURES);
  if (!existsSync(pictures)) return [];
  const known = new Set((raw.prepare("select path from pictures where copied = 1").pluck().all() as string[]).map((p) => basename(p)));
  return readdirSync(pictures, { recursive: true, withFileTypes: true }).filter((e) => e.isFile() && !known.has(e.name))
    .map((e) => `A copied picture belongs to no entry: ${join(e.parentPath, e.name)}.`);
}
