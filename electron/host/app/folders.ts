import { type Dirent } from "node:fs";
import { readdir, realpath } from "node:fs/promises";
import { dirname, join, relative, isAbsolute } from "node:path";
import { AppFault } from "./fault.ts";

/** A folder and the folders in it, for choosing one on a screen that has no dialog of the system's. */
export interface FolderListing {
  /** Full path. */
  readonly at: string;
  /** The folder above; null at the top, above which nothing is shown. */
  readonly up: string | null;
  readonly folders: readonly { readonly name: string; readonly path: string }[];
}

/**
 * The folders in `at` (default: `home` itself), by name; hidden ones and files are left out. Only what lies below `home` is shown, also where links lead elsewhere.
 * @throws AppFault where there is no such folder below `home`, or it may not be read
 */
export async function listFolders(home: string, at: string = home): Promise<FolderListing> {
  const top = await realpath(home);
  const here = await realpath(isAbsolute(at) ? at : join(top, at)).catch(() => {
    throw noFolder();
  });
  if (!isWithin(top, here)) throw noFolder();
  const entries = await readdir(here, { withFileTypes: true }).catch(() => {
    throw noFolder();
  });
  const folders = await Promise.all(entries.filter((entry) => !entry.name.startsWith(".")).map(async (entry) => {
    const path = join(here, entry.name);
    return (await isFolderBelow(top, entry, path)) ? [{ name: entry.name, path }] : [];
  }));
  return { at: here, up: here === top ? null : dirname(here), folders: folders.flat().sort((a, b) => a.name.localeCompare(b.name, "en", { numeric: true })) };
}

async function isFolderBelow(top: string, entry: Dirent, path: string): Promise<boolean> {
  if (entry.isDirectory()) return true;
  if (!entry.isSymbolicLink()) return false;
  const target = await realpath(path).catch(() => null);
  return target !== null && isWithin(top, target) && (await readdir(target).then(() => true, () => false));
}

function isWithin(top: string, path: string): boolean {
  const from = relative(top, path);
  return from === "" || (!isAbsolute(from) && from.split(/[\\/]/)[0] !== "..");
}

const noFolder = (): AppFault => new AppFault(404, "no-folder", "That folder is not there, or may not be read.", "Choose another one.");
