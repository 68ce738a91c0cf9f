import { readJob } from "../../../core/job/read.ts";
import type { Job } from "../../../core/job/schema.ts";

export interface JobTextFault {
  /** Where in the file, as `marks[2].x`; empty for the file as a whole. */
  readonly path: string;
  readonly message: string;
}

export type JobReading =
  | { readonly ok: true; readonly job: Job; readonly warnings: readonly string[] }
  | { readonly ok: false; readonly faults: readonly JobTextFault[] };

/** Reads a job file's text for the screens; every message names its own place, so the path is only for links. */
export function readJobText(text: string): JobReading {
  const read = readJob(text);
  if (read.ok) return read;
  return { ok: false, faults: read.errors.map(({ path, message }) => ({ path, message })) };
}
