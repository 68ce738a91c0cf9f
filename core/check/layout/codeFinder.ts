import { searchCodes, type FoundCode } from "../../codes/read.ts";
import type { Picture } from "../../image/picture.ts";
import type { Job } from "../../job/schema.ts";
import { scaleRange } from "../../marks/find.ts";
import { once } from "../once.ts";

/** Looks for one of the job's codes anywhere in the picture, when first asked and once: it takes seconds. */
export type CodeFinder = () => FoundCode | null;

export function codeFinder(picture: Picture, job: Job): CodeFinder {
  return once(() => (job.codes.length === 0 ? null : searchCodes(picture, job, Math.max(...job.codes.map((c) => c.size)) * scaleRange(job, picture).likely)));
}
