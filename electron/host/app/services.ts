import type { CheckOutcome } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";

/** One picture to be measured against a job. */
export interface CheckTask {
  readonly path: string;
  /** The name people know the picture by; it goes into the record. */
  readonly name: string;
  readonly job: Job;
}

/** Whatever measures pictures: the worker pool in the program, a stand-in in tests. */
export interface Checker {
  /** Measures one picture. Rejects with an AbortError when `signal` is aborted; an unmeasurable picture is a refused record. */
  check(task: CheckTask, signal?: AbortSignal): Promise<CheckOutcome>;
}

/** What the application behind the screens is made of. */
export interface AppServices {
  readonly checker: Checker;
  /** Folder of the program's own files: settings, pictures taken in, tiles. */
  readonly dataDir: string;
  /** Folder with the sample job and its pictures. */
  readonly samplesDir: string;
  readonly version: string;
}
