import type { Verdict } from "../../../core/check/record.ts";
import type { AxisWords } from "../../../core/trend/advice.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { RunEvent } from "../library/events.ts";
import type { Library } from "../library/library.ts";
import type { Run } from "../library/runs.ts";
import type { ToolUse } from "../library/tools.ts";

/** A run at a glance. */
export interface RunOverview {
  readonly run: Run;
  readonly job: Job;
  /** The job's number in the library, and the shop's own words for the cutter's axes at it. */
  readonly jobId: number;
  readonly axes: AxisWords | null;
  readonly checks: number;
  readonly verdicts: Readonly<Record<Verdict, number>>;
  readonly events: readonly RunEvent[];
  readonly tools: readonly ToolUse[];
}

/** What the run's screen shows first. @throws LibraryFault "not-found" */
export async function overviewOfRun(library: Library, runId: number): Promise<RunOverview> {
  const run = await library.runs.get(runId);
  const { job, jobId } = await library.jobs.version(run.jobVersionId);
  const verdicts = await library.runs.verdicts(runId);
  return {
    run, job, jobId, axes: await library.jobs.axes(jobId), verdicts, checks: verdicts.in + verdicts.out + verdicts.unsure,
    events: await library.events.ofRun(runId), tools: await library.tools.usesIn(runId),
  };
}
