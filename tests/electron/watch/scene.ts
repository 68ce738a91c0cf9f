import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { openLibrary } from "../../../electron/host/library/library.ts";
import type { Measuring } from "../../../electron/host/watch/takeIn.ts";
import { freshFolder, measured, refused, trayJob } from "../library/records.ts";

/**
 * Stands in for the measurement: a "picture" is a text file "JOB SHEET WORST". A job's own sheet is measured; a sheet whose code names another job is refused
 * as wrong-job; "-" as sheet is a sheet without a code, and "*" as job one that any job fits; anything else has no marks.
 */
export const reading: Measuring = {
  workers: 2,
  sort: async ({ image, name, jobs }) => {
    await wait(5);
    const [of, sheet, worst] = readFileSync(image as string, "utf8").trim().split(" ");
    return jobs.map((job, i) => {
      const refuse = (code: "wrong-job" | "marks-not-found") => ({ job: i, outcome: { record: { ...refused, image: name, job: job.id, refusal: { ...refused.refusal, code } } } });
      if (worst === undefined) return refuse("marks-not-found");
      if (of !== job.id && of !== "*") return refuse("wrong-job");
      return { job: i, outcome: { record: measured(sheet === "-" ? undefined : sheet, Number(worst), { image: name, job: job.id }) } };
    });
  },
};

/** An inbox, a library with two jobs, and a way to drop such pictures. */
export async function scene() {
  const folder = freshFolder();
  const inbox = join(folder, "inbox");
  mkdirSync(inbox);
  const library = await openLibrary(join(folder, "library"));
  const jobs = [await library.jobs.put(trayJob()), await library.jobs.put(trayJob({ id: "DISPLAY-2", name: "Counter display" }))];
  const drop = (name: string, text: string) => writeFileSync(join(inbox, name), text);
  return { inbox, library, jobs, drop };
}
