/** What went wrong with the library, for programs: the sentence is in `message`. */
export type LibraryFaultCode =
  | "missing"
  | "vanished"
  | "full"
  | "read-only"
  | "busy"
  | "damaged"
  | "newer"
  | "unreadable"
  | "conflict"
  | "not-found"
  | "invalid";

/** A failure of the record keeping that people can do something about. Nothing recorded before it is lost. */
export class LibraryFault extends Error {
  readonly code: LibraryFaultCode;
  /** One sentence: what to do. */
  readonly hint: string;

  constructor(code: LibraryFaultCode, message: string, hint: string, cause?: unknown) {
    super(message, { cause });
    this.name = "LibraryFault";
    this.code = code;
    this.hint = hint;
  }
}

const KEPT = "What was recorded before is kept; this last entry was not recorded.";

/** [start of the SQLite or system error code, fault code, what is wrong, what to do]; the first that fits is taken. */
const EXPLANATIONS: readonly (readonly [string, LibraryFaultCode, string, string])[] = [
  ["SQLITE_FULL", "full", "The disk that holds the library is full.", `${KEPT} Free some space, then enter it again.`],
  ["ENOSPC", "full", "The disk that holds the library is full.", `${KEPT} Free some space, then enter it again.`],
  ["EDQUOT", "full", "The disk quota for the library is used up.", `${KEPT} Free some space, then enter it again.`],
  ["EFBIG", "full", "A file of the library may not grow further here.", `${KEPT} Raise the size limit, then enter it again.`],
  ["SQLITE_IOERR", "vanished", "The library's disk does not answer as it should (an input or output error).",
    `${KEPT} Look at the disk, its space and its connection, then enter it again.`],
  ["EIO", "vanished", "The library's disk does not answer as it should (an input or output error).",
    `${KEPT} Look at the disk and its connection, then enter it again.`],
  ["SQLITE_READONLY", "read-only", "The library may only be read here.", `${KEPT} Ask for write permission on its folder and files.`],
  ["EROFS", "read-only", "The library lies on a disk that may only be read.", "Choose another folder, or make the disk writable."],
  ["EACCES", "read-only", "The library's folder may not be written to.", "Ask for write permission on the folder, or choose another one."],
  ["EPERM", "read-only", "The library's folder may not be written to.", "Ask for write permission on the folder, or choose another one."],
  ["SQLITE_BUSY", "busy", "Another program is writing to the library and does not finish.", `${KEPT} Try again in a moment.`],
  ["SQLITE_LOCKED", "busy", "Another program is writing to the library and does not finish.", `${KEPT} Try again in a moment.`],
  ["SQLITE_NOTADB", "damaged", "The library's database is not a database, or is damaged.",
    "Run \"kerfmark library verify\", then \"kerfmark library restore\" with a backup."],
  ["SQLITE_CORRUPT", "damaged", "The library's database is damaged.",
    "Run \"kerfmark library verify\", then \"kerfmark library restore\" with a backup."],
  ["SQLITE_CANTOPEN", "unreadable", "The library's database cannot be opened.", "Check that its folder exists and may be read and written."],
  ["SQLITE_CONSTRAINT", "conflict", "The entry contradicts one that is already in the library.", "Reload, and enter it again."],
  ["ENOENT", "missing", "A file or folder that the library needs is not there.", "Check the path, and that the disk or network folder is connected."],
  ["ENOTDIR", "missing", "The library's path leads through a file.", "Name a folder."],
];

/** Turns an error of SQLite or the file system into a LibraryFault; any other error is returned as it is. */
export function asLibraryFault(error: unknown, where: string): unknown {
  if (error instanceof LibraryFault || !(error instanceof Error)) return error;
  const code = (error as NodeJS.ErrnoException).code ?? "";
  const found = EXPLANATIONS.find(([start]) => code.startsWith(start));
  if (!found) return error;
  const [, fault, message, hint] = found;
  return new LibraryFault(fault, message.replace(/\.$/, `: ${where}.`), hint, error);
}

/** Runs `work`, turning what it throws by asLibraryFault. */
export function explained<T>(where: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw asLibraryFault(error, where);
  }
}

/** The same for asynchronous work. */
export async function explainedLater<T>(where: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw asLibraryFault(error, where);
  }
}

/** The subject with this number is not there (or is deleted). */
export function notFound(subject: string, id: number | string): LibraryFault {
  return new LibraryFault("not-found", `There is no ${subject} ${id} in the library.`, "It may have been deleted: reload the list, or undo the deletion.");
}
