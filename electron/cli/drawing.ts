import { readFile } from "node:fs/promises";
import type { Drawing } from "../../core/job/import/drawing.ts";
import type { ReadOptions } from "../../core/job/import/read.ts";
import { DataFault, MissingFault } from "./exit.ts";

/** The bytes of a file. @throws MissingFault */
export async function bytesOf(file: string): Promise<Uint8Array> {
  try {
    return await readFile(file);
  } catch (error) {
    throw new MissingFault(`There is no file ${file} that can be read${error instanceof Error && "code" in error ? ` (${String(error.code)})` : ""}.`, "Check the name and the folder.");
  }
}

/** Reads a drawing of any of the formats. @throws MissingFault, or DataFault with the reader's own sentence. */
export async function drawingOf(file: string, options: ReadOptions): Promise<Drawing> {
  const { readDrawing } = await import("../../core/job/import/read.ts");
  const bytes = await bytesOf(file);
  // The PDF package tells of each damaged object on the console; what matters of it is in the reader's sentence.
  const warn = console.warn;
  console.warn = () => undefined;
  try {
    const read = await readDrawing(bytes, file, options);
    if (!read.ok) throw new DataFault(`${file}: ${read.reason}`, read.hint);
    return read.drawing;
  } finally {
    console.warn = warn;
  }
}
