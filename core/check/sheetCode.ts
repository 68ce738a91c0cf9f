import { readCodes } from "../codes/read.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Payload } from "../job/payload.ts";
import type { Job } from "../job/schema.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import type { Refusal } from "./record.ts";
import { refuse } from "./refusals.ts";

/** The sheet's number by its code, or why the code refuses the sheet. */
type SheetCode = { readonly sheet: string | undefined } | { readonly refusal: Refusal };

/** What the code that was read says of the sheet: its number, or another job. Nothing where none was read. */
export function sheetOf(payload: Payload | null, job: Pick<Job, "id">): SheetCode {
  if (!payload || payload.job === job.id || (payload.job === undefined && payload.sheet !== undefined)) return { sheet: payload?.sheet };
  return { refusal: refuse("wrong-job", `The code on the sheet says ${payload.job ? `job "${payload.job}"` : "something else than this job's codes do"}, not "${job.id}".`) };
}

/**
 * The same where the code could not be read under the rough view, under the final one: a module of a small code is half a millimetre wide, and the rough view may lie off by as
 * much between the marks.
 */
export function sheetUnder(sampler: Sampler, job: Job, map: PlaneMap): SheetCode {
  return sheetOf(readCodes(sampler, job, map.toPicture)?.content ?? null, job);
}
