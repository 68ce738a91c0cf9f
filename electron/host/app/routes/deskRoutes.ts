import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { Hono } from "hono";
import type { Job } from "../../../../core/job/schema.ts";
import type { Desk, DeskPicture } from "../desk.ts";
import { AppFault } from "../fault.ts";
import { type JobTextFault, readJobText } from "../jobText.ts";
import type { AppServices } from "../services.ts";
import { shelveInPlace } from "../shelf.ts";

export interface DeskState {
  readonly job: Job | null;
  readonly pictures: readonly DeskPicture[];
  /** The job that was closed by opening this one with pictures that had not been measured: it can be gone back to. */
  readonly leftBehind: { readonly job: string; readonly waiting: number } | null;
}

export type OpenJobAnswer =
  | { readonly opened: true; readonly desk: DeskState; readonly warnings: readonly string[] }
  | { readonly opened: false; readonly faults: readonly JobTextFault[] };

/** The desk as a whole: what lies on it, another job, the sample shop. */
export function deskRoutes(services: AppServices, desk: Desk) {
  const state = (): DeskState => ({ job: desk.job, pictures: desk.pictures(), leftBehind: desk.leftBehind() });
  return new Hono()
    .get("/", (c) => c.json(state()))
    .post("/job", async (c) => {
      const read = readJobText(await c.req.text());
      if (!read.ok) return c.json<OpenJobAnswer>({ opened: false, faults: read.faults });
      desk.open(read.job);
      return c.json<OpenJobAnswer>({ opened: true, desk: state(), warnings: read.warnings });
    })
    .post("/reopen", (c) => {
      desk.reopen();
      return c.json(state());
    })
    .post("/sample", async (c) => {
      await openSample(services.samplesDir, desk);
      return c.json(state());
    });
}

/** Opens the first job of the samples folder with the pictures beside it. */
export async function openSample(folder: string, desk: Desk): Promise<void> {
  const names = (await readdir(folder).catch(() => [] as string[])).sort();
  const jobName = names.find((name) => name.endsWith(".job.json"));
  if (!jobName) throw new AppFault(404, "no-sample", "The sample job is not there.", "Run: npx kerfmark sample --out samples");
  const read = readJobText(await readFile(join(folder, jobName), "utf8"));
  if (!read.ok) throw new AppFault(422, "bad-sample", `The sample job cannot be read: ${read.faults[0].message}`, "Make the samples anew.");
  desk.open(read.job, true);
  for (const name of names.filter((one) => /\.(jpe?g|png|tiff?|webp)$/i.test(one))) {
    desk.lay(await shelveInPlace(join(folder, name)), name, new Date());
  }
}
