import type { JobVersion } from "../library/jobs.ts";
import type { Library } from "../library/library.ts";

/** The newest versions of the library's jobs: of those named by their ids, of all where none is named. Asked anew for every picture, so that a job that is added or changed counts from then on. */
export async function jobsInStack(library: Library, ids: readonly string[] = []): Promise<readonly JobVersion[]> {
  const wanted = (await library.jobs.list()).filter(({ job }) => ids.length === 0 || ids.includes(job));
  return Promise.all(wanted.map((j) => library.jobs.version(j.latestVersionId)));
}
