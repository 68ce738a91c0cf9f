import { type Job, jobSchema } from "../../../core/job/schema.ts";

export interface JobFault {
  /** Where in the file, as `marks[2].x`. */
  readonly path: string;
  readonly message: string;
}

export type JobReading =
  | { readonly ok: true; readonly job: Job; readonly warnings: readonly string[] }
  | { readonly ok: false; readonly faults: readonly JobFault[] };

/** Reads a job file's text. */
export function readJobText(text: string): JobReading {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return { ok: false, faults: [{ path: "", message: `not a JSON file: ${(error as Error).message}` }] };
  }
  const parsed = jobSchema.safeParse(value);
  if (parsed.success) return { ok: true, job: parsed.data, warnings: [] };
  return { ok: false, faults: parsed.error.issues.map((issue) => ({ path: issue.path.join("."), message: issue.message })) };
}
