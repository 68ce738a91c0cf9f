import { closeSync, fsyncSync, openSync, renameSync, rmSync } from "node:fs";
import { dirname } from "node:path";
import type { Opened } from "./connection.ts";
import { explainedLater } from "./faults.ts";

/**
 * Writes a copy of the database while it is in use (SQLite's online backup) and returns its path. The copy appears under its name only
 * when it is whole and on the disk.
 * @throws LibraryFault
 */
export async function writeBackup({ raw }: Pick<Opened, "raw">, to: string): Promise<string> {
  const draft = `${to}.draft`;
  return explainedLater(to, async () => {
    try {
      await raw.backup(draft);
      syncToDisk(draft);
      renameSync(draft, to);
      syncToDisk(dirname(to));
      return to;
    } finally {
      rmSync(draft, { force: true });
    }
  });
}

/** Waits until a file or folder is on the disk. Windows has no such call for folders. */
export function syncToDisk(path: string): void {
  let handle: number;
  try {
    handle = openSync(path, "r+");
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EISDIR") throw error;
    if (process.platform === "win32") return;
    handle = openSync(path, "r");
  }
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
