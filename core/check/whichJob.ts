import type { Picture } from "../image/picture.ts";
import { samplerOf } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import { checkSheet, type CheckOptions } from "./check.ts";
import { glanceAtLayout } from "./layout/place.ts";
import { OUT_OF_REACH } from "./layout/rankLayouts.ts";
import type { CheckOutcome } from "./record.ts";

/** What came of a picture when it was checked against one of the jobs. */
export interface JobOutcome {
  /** Index into the jobs given. */
  readonly job: number;
  readonly outcome: CheckOutcome;
}

/**
 * Checks a picture against the jobs that it may show, the likeliest first. A glance at each tells, in a small part of the time of a refusal, which layouts are there.
 * A sheet whose code was read is of that job, and nothing else is asked. Else all jobs are checked that the glance shows, so that a sheet which fits two does not go
 * unnoticed; and where it shows none beyond doubt, the others one by one until one is measured. Jobs that were not checked are not in the answer. Give the job
 * seen last first.
 */
export function checkWhichJob(picture: Picture, jobs: readonly Job[], options: CheckOptions): JobOutcome[] {
  const check = (job: number): JobOutcome => ({ job, outcome: checkSheet(picture, jobs[job], options) });
  if (jobs.length === 1) return [check(0)];
  const sampler = samplerOf(picture);
  const done: JobOutcome[] = [];
  const glances = [];
  for (const [job, one] of jobs.entries()) {
    const glance = glanceAtLayout(picture, sampler, one);
    glances.push({ job, glance });
    if (!glance?.sure || one.codes.length === 0) continue;
    const checked = check(job);
    if (isCoded(checked)) return [checked];
    done.push(checked);
  }
  const strongest = Math.max(...glances.map(({ glance }) => glance?.logOdds ?? -Infinity));
  const looks = glances.map(({ job, glance }) => {
    const refined = glance && glance.logOdds > strongest - OUT_OF_REACH ? glance.refined() : null;
    return { job, sure: glance?.sure ?? false, likely: refined?.likely ?? false, score: refined?.score ?? -Infinity };
  });
  const best = Math.max(...looks.map((look) => look.score));
  // Told: one of the jobs is on the sheet, be it measurable or not.
  let told = false;
  for (const { job, sure, likely, score } of looks.sort((a, b) => b.score - a.score)) {
    // What explains far less of the patches is not on the sheet too.
    if (told && !(likely && score > best - OUT_OF_REACH)) continue;
    let checked = done.find((d) => d.job === job);
    if (!checked) done.push((checked = check(job)));
    if (isCoded(checked)) return [checked];
    const { record } = checked.outcome;
    told ||= record.status === "measured" || (sure && record.refusal.code !== "wrong-job");
  }
  return done;
}

/** Measured, and its code was read. */
const isCoded = ({ outcome: { record } }: JobOutcome): boolean => record.status === "measured" && record.sheet !== undefined;
