import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import path from "node:path";

/** Leaves a note of a crash for the next start. The library needs none: what was acknowledged is on the disk. */
export function leaveCrashNote(file: string, what: string, when: Date): void {
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, `${when.toISOString()}\n${what}\n`);
}

/** The note of the last crash, which is put aside by reading it; undefined where there was none. */
export function takeCrashNote(file: string): string | undefined {
  if (!existsSync(file)) return undefined;
  const note = readFileSync(file, "utf8");
  writeFileSync(`${file}.last`, note);
  rmSync(file);
  return note;
}
