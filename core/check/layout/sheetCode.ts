import { readCodes } from "../../codes/read.ts";
import type { Sampler } from "../../image/sampler.ts";
import type { Payload } from "../../job/payload.ts";
import type { Code, Job } from "../../job/schema.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import type { Refusal } from "../record.ts";
import { refuse } from "../refusals.ts";

/** The sheet's number by its code, or why the code refuses the sheet. */
type SheetCode = { readonly sheet: string | undefined } | { readonly refusal: Refusal };

/** What the code that was read says of the sheet: its number, or another job. Nothing where none was read. */
export function sheetOf(payload: Payload | null, job: Pick<Job, "id">): SheetCode {
  if (!payload || payload.job === job.id || (payload.job === undefined && payload.sheet !== undefined)) return { sheet: payload?.sheet };
  return { refusal: refuse("wrong-job", `The code on the sheet says ${payload.job ? `job "${payload.job}"` : "something else than this job's codes do"}, not "${job.id}".`) };
}

/** A code that the final view has elsewhere by more than this share of its side, a quarter of a module, may be legible there where it was not; looking takes a decoder some tenths of a second. */
const MOVED = 0.01;

/**
 * The same where the code could not be read under the rough view, under the final one: a module of a small code is half a millimetre wide, and the rough view may lie off by as
 * much between the marks.
 */
export function sheetUnder(sampler: Sampler, job: Job, rough: PlaneMap, map: PlaneMap): SheetCode {
  const codes = job.codes.filter((code) => isMoved(code, rough, map));
  return sheetOf(readCodes(sampler, { ...job, codes }, map.toPicture)?.content ?? null, job);
}

function isMoved({ x, y, size }: Code, rough: PlaneMap, map: PlaneMap): boolean {
  const corners = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([i, j]) => ({ x: x + (i * size) / 2, y: y + (j * size) / 2 }));
  const [before, after] = [rough, map].map(({ toPicture }) => corners.map(toPicture));
  return after.some((q, k) => {
    const [p, next] = [before[k], after[(k + 1) % 4]];
    return p !== null && q !== null && next !== null && Math.hypot(p.x - q.x, p.y - q.y) > MOVED * Math.hypot(next.x - q.x, next.y - q.y);
  });
}
