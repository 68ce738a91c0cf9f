import type { Verdict } from "../../../core/check/record.ts";
import type { AxisWords } from "../../../core/trend/advice.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { RunEvent } from "../library/events.ts";
import { LibraryFault } from "../library/faults.ts";
import type { Library } from "../library/library.ts";
import type { Run } from "../library/runs.ts";
import type { ToolUse } from "../library/tools.ts";
import { stackOfRun, type RunStack } from "./stack.ts";

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
  /** Null where nothing can be said: no sheet is numbered and the stack's size is not known. */
  readonly stack: RunStack | null;
}

/** What the run's screen shows first. @throws LibraryFault "not-found" */
export async function overviewOfRun(library: Library, runId: number): Promise<RunOverview> {
  const run = await library.runs.get(runId);
  const { job, jobId } = await library.jobs.version(run.jobVersionId);
  const verdicts = await library.runs.verdicts(runId);
  return {
    run, job, jobId, axes: await library.jobs.axes(jobId), verdicts, checks: verdicts.in + verdicts.out + verdicts.unsure,
    events: await library.events.ofRun(runId), tools: await library.tools.usesIn(runId), stack: await stackOrNull(library, runId),
  };
}

/** The stack; null where nothing can be said of it. @throws LibraryFault "not-found" */
export async function stackOrNull(library: Library, runId: number): Promise<RunStack | null> {
  try {
    return await stackOfRun(library, runId);
  } catch (error) {
    if (error instanceof LibraryFault && error.code === "invalid") return null;
    throw error;
  }
}
