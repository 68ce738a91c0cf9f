import { readFile } from "node:fs/promises";
import { readProfile } from "../../../core/camera/readProfile.ts";
import type { Profile } from "../../../core/camera/profile.ts";
import { readJob } from "../../../core/job/read.ts";
import type { Job } from "../../../core/job/schema.ts";
import { DataFault, MissingFault } from "../exit.ts";

/** Reads a job file. @throws MissingFault, or DataFault with every fault of the file. */
export async function loadJob(file: string): Promise<{ job: Job; warnings: readonly string[] }> {
  const read = readJob(await textOf(file, "job file"));
  if (read.ok) return read;
  const places = read.errors.map((e) => (e.line === undefined ? e.message : `line ${e.line}: ${e.message}`));
  const message = places.length === 1 ? `${file}, ${places[0]}` : `${file} has ${places.length} faults:`;
  throw new DataFault(message, "Correct the job file, or import the drawing again.", places.length === 1 ? [] : places);
}

/** Reads a camera or scanner profile. @throws MissingFault, or DataFault with every fault of the file. */
export async function loadProfile(file: string): Promise<Profile> {
  const read = readProfile(await textOf(file, "profile"));
  if (read.ok) return read.profile;
  const message = read.errors.length === 1 ? `${file}: ${read.errors[0]}` : `${file} has ${read.errors.length} faults:`;
  throw new DataFault(message, "Make the profile again with kerfmark calibrate.", read.errors.length === 1 ? [] : read.errors);
}

async function textOf(file: string, what: string): Promise<string> {
  try {
    return await readFile(file, "utf8");
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT" || code === "ENOTDIR") throw new MissingFault(`There is no ${what} ${file}.`, "Check the name and the folder.");
    throw new DataFault(`The ${what} ${file} cannot be read (${code ?? String(error)}).`, "Check that it is a file and that you may read it.");
  }
}
