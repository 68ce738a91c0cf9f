import { readFile } from "node:fs/promises";
import type { TableFault } from "../../../core/statistics/table.ts";
import { DataFault, MissingFault } from "../exit.ts";

/** Reads a table's text; a file that is not there is exit status 66, one that is no readable text 65. */
export async function readCsv(file: string): Promise<string> {
  let bytes: Buffer;
  try {
    bytes = await readFile(file);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === "ENOENT" || code === "ENOTDIR") throw new MissingFault(`There is no file ${file}.`, "Check the name and the folder.");
    if (code === "EISDIR") throw new DataFault(`${file} is a folder, not a table.`, "Name a CSV file.");
    throw new DataFault(`${file} cannot be read (${code ?? "unknown reason"}).`, "Check that you may read it.");
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new DataFault(`${file} is not text in UTF-8.`, "Save the table as CSV in UTF-8.");
  }
}

/** The result, or its fault as exit status 65 with the file named. */
export function unlessFault<T extends object>(file: string, result: T | TableFault): T {
  if ("fault" in result) {
    const { message, hint } = (result as TableFault).fault;
    throw new DataFault(`${file}: ${message}`, hint);
  }
  return result as T;
}
