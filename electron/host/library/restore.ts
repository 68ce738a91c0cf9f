import { copyFileSync, existsSync, mkdirSync, renameSync, rmSync } from "node:fs";
import { join } from "node:path";
import { syncToDisk, writeBackup } from "./backup.ts";
import { openDatabase } from "./connection.ts";
import { asLibraryFault, explainedLater, LibraryFault } from "./faults.ts";
import { BACKUPS, DATABASE } from "./place.ts";
import { databaseProblems } from "./verify.ts";

/**
 * Puts a backup in the place of the library's database. What was there is kept among the backups; its path is returned (null where
 * there was none). A program that has the library open notices and stops recording.
 * @throws LibraryFault "damaged" where the backup is not whole: nothing is changed then
 */
export async function restoreLibrary(folder: string, backup: string, now: Date = new Date()): Promise<string | null> {
  const file = join(folder, DATABASE);
  return explainedLater(folder, async () => {
    mkdirSync(join(folder, BACKUPS), { recursive: true });
    const draft = `${file}.draft`;
    try {
      copyFileSync(backup, draft);
      assertWhole(draft, folder, backup);
      syncToDisk(draft);
      const former = existsSync(file) ? await putAside(file, folder, join(folder, BACKUPS, `replaced-${now.toISOString().replace(/[:.]/g, "-")}.sqlite`)) : null;
      renameSync(draft, file);
      syncToDisk(folder);
      return former;
    } finally {
      for (const end of ["", "-wal", "-shm", "-journal"]) rmSync(draft + end, { force: true });
    }
  });
}

function assertWhole(draft: string, folder: string, backup: string): void {
  const opened = openDatabase(draft, folder, true);
  try {
    const problems = databaseProblems(opened);
    if (problems.length > 0) throw new LibraryFault("damaged", `The backup is not whole: ${backup}. ${problems[0]}`, "Choose another backup; the library is left as it is.");
  } finally {
    opened.raw.close();
  }
}

/** Keeps the present database; a damaged one is kept as the files that it is. Its log is emptied or moved with it: it must not meet the restored file. */
async function putAside(file: string, folder: string, to: string): Promise<string> {
  try {
    const opened = openDatabase(file, folder);
    try {
      await writeBackup(opened, to);
      opened.raw.pragma("wal_checkpoint(TRUNCATE)");
    } finally {
      opened.raw.close();
    }
  } catch (error) {
    const fault = asLibraryFault(error, file);
    if (!(fault instanceof LibraryFault && fault.code === "damaged")) throw fault;
    copyFileSync(file, to);
    for (const end of ["-wal", "-journal"]) if (existsSync(file + end)) copyFileSync(file + end, to + end);
  }
  for (const end of ["-wal", "-shm", "-journal"]) rmSync(file + end, { force: true });
  return to;
}
