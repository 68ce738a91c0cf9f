import { statfsSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";

/** Files and folders inside a library's folder. */
export const DATABASE = "library.sqlite";
export const PICTURES = "pictures";
export const BACKUPS = "backups";

/** The library's folder where none is named: KERFMARK_LIBRARY, else the place that the system keeps for programs' data. */
export function defaultLibraryFolder(env: NodeJS.ProcessEnv = process.env, platform: NodeJS.Platform = process.platform): string {
  if (env.KERFMARK_LIBRARY) return env.KERFMARK_LIBRARY;
  if (platform === "win32") return join(env.APPDATA ?? join(homedir(), "AppData", "Roaming"), "Kerfmark", "library");
  if (platform === "darwin") return join(homedir(), "Library", "Application Support", "Kerfmark", "library");
  return join(env.XDG_DATA_HOME ?? join(homedir(), ".local", "share"), "kerfmark", "library");
}

/** Where the program that uses a library keeps what is its own: settings, logo, pictures on the desk. */
export function deskFolder(library: string): string {
  return join(library, "desk");
}

/** statfs(2) types of file systems reached over a network: NFS, SMB, SMB2, CIFS, AFS, Ceph, 9P, FUSE (sshfs and its kin). */
const NETWORK_TYPES: ReadonlySet<number> = new Set([0x6969, 0x517b, 0xfe534d42, 0xff534d42, 0x5346414f, 0x00c36400, 0x01021997, 0x65735546]);

/**
 * Whether the folder is on a network file system. SQLite's write-ahead log needs memory shared between its users, which a network
 * does not give (SQLite documentation, "Write-Ahead Logging": all processes must be on the same host), so such a library keeps a rollback journal.
 */
export function isOnNetwork(folder: string): boolean {
  if (process.platform === "win32") return folder.startsWith("\\\\");
  return NETWORK_TYPES.has(statfsSync(folder).type >>> 0);
}
