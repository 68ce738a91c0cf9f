import type { CheckOutcome, Measured } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { Library } from "../library/library.ts";
import { localTime } from "../localTime.ts";

/**
 * Enters a measured sheet in the open run of its job version (beginning one where there is none), or a refused picture in the tray. The
 * same picture a second time replaces its measurement, which stays in the history. What lies on the desk has no place of its own, so the
 * library keeps a copy, whose path is returned.
 * @throws LibraryFault
 */
export async function recordCheck(library: Library, job: Job, path: string, outcome: CheckOutcome, now: Date): Promise<string> {
  const picture = await library.pictures.keep(path, { copy: true });
  const takenAt = localTime(now);
  const { record } = outcome;
  if (record.status === "refused") {
    await library.tray.add({ picture, image: record.image, reason: record.refusal, record, job: job.id, takenAt });
    return picture.path;
  }
  const version = await library.jobs.put(job);
  const run = await library.runs.openOrStart(version.id);
  const measured = outcome as CheckOutcome & { readonly record: Measured };
  const entered = await library.checks.add({ runId: run.id, jobVersionId: version.id, picture, outcome: measured, takenAt });
  if (!entered.added) await library.checks.measureAgain(entered.id, measured, version.id);
  return picture.path;
}
