import { existsSync } from "node:fs";
import type { CheckOutcome, Measured } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { CheckRow } from "../library/checks.ts";
import type { Disposition } from "../library/dispositions.ts";
import { LibraryFault } from "../library/faults.ts";
import type { Library } from "../library/library.ts";
import type { KeptPicture } from "../library/pictures.ts";

/** A recorded check as it is looked at: its record, the job of its day, its picture, its neighbours, and all that happened to its sheet. */
export interface CheckOfRun {
  readonly runName: string;
  readonly check: CheckRow;
  readonly job: Job;
  readonly outcome: CheckOutcome & { readonly record: Measured };
  /** Null where the picture is no longer where it was. */
  readonly picture: KeptPicture | null;
  readonly previous: number | null;
  readonly next: number | null;
  /** All checks of the sheet, the first one first. */
  readonly checks: readonly CheckRow[];
  readonly decisions: readonly Disposition[];
}

/** @throws LibraryFault "not-found" */
export async function checkOfRun(library: Library, runId: number, checkId: number): Promise<CheckOfRun> {
  const run = await library.runs.get(runId);
  const check = await library.checks.get(checkId);
  if (check.runId !== runId) throw new LibraryFault("not-found", `Run ${runId} has no check ${checkId}.`, "Go back to the run and choose a sheet.");
  const { job } = await library.jobs.version(check.jobVersionId);
  const kept = await library.pictures.find(check.picture);
  const { checkId: ids } = await library.checks.series(runId, { values: [], which: "all" });
  const at = ids.indexOf(checkId);
  const { sheet } = check;
  return {
    runName: run.name, check, job, outcome: await library.checks.outcome(checkId), picture: kept && existsSync(kept.path) ? kept : null,
    previous: ids[at - 1] ?? null, next: ids[at + 1] ?? null,
    checks: sheet === null ? [check] : await library.checks.ofSheet(runId, sheet), decisions: sheet === null ? [] : await library.dispositions.history(runId, sheet),
  };
}
