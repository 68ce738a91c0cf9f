import { Hono } from "hono";
import { z } from "zod";
import { HotFolderStation, type HotFolderState } from "../../watch/station.ts";
import { takeFromTray } from "../../watch/takeIn.ts";
import type { Desk } from "../desk.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import { json } from "./valid.ts";

const hotFolder = z.object({
  folder: z.string().trim().min(1).max(1000), jobs: z.array(z.string()).max(500),
  numbering: z.object({ first: z.int().min(1).max(1_000_000), step: z.int().min(1).max(10_000) }).nullable(),
});
const again = z.object({ job: z.string().max(200).optional(), sheet: z.string().trim().min(1).max(40).optional() });

const NOT_WATCHING: HotFolderState = { watching: null, entered: 0, tray: 0, known: 0, waiting: 0, trouble: null, latest: [] };

/** The hot folder, and the tray with what could not be measured: again with or without a job and number said by the operator, put aside, and back. */
export function trayRoutes(services: Pick<AppServices, "library" | "pool" | "stopping">, desk: Desk) {
  const { library, pool, stopping } = services;
  const station = library && new HotFolderStation(library, pool, stopping);
  void station?.resume().catch((error: Error) => {
    if (!stopping?.aborted) console.error(error);
  });
  const records = () => recordsOf(services);
  return new Hono()
    .get("/", async (c) => {
      const entries = library ? await library.tray.list() : [];
      return c.json({
        entries: entries.map(({ id, image, picture, path, reason, job, sheet, takenAt, arrivedAt }) => {
          const pictureId = `tray-${id}`;
          desk.lend({ id: pictureId, name: image, sha256: picture, bytes: 0, takenInAt: arrivedAt, from: "screen" }, path);
          return { id, image, reason, job, sheet, takenAt, pictureId };
        }),
        jobs: library ? (await library.jobs.list()).map(({ job, name }) => ({ job, name })) : [],
        hot: station?.state() ?? NOT_WATCHING,
      });
    })
    .post("/hot", json(hotFolder), async (c) => {
      records();
      return c.json(station ? await station.start(c.req.valid("json")) : NOT_WATCHING);
    })
    .delete("/hot", async (c) => c.json(station ? await station.stop() : NOT_WATCHING))
    .post("/:id/again", json(again), async (c) => {
      const { job, sheet } = c.req.valid("json");
      const entry = await records().tray.get(Number(c.req.param("id")));
      const known = await records().jobs.list();
      const jobs = await Promise.all(known.filter((j) => job === undefined || j.job === job).map((j) => records().jobs.version(j.latestVersionId)));
      const taken = await takeFromTray(records(), pool, entry, { jobs, sheet, signal: c.req.raw.signal });
      return c.json(taken.kind === "check" ? { entered: true as const, runId: taken.runId, checkId: taken.checkId } : { entered: false as const });
    })
    .post("/:id/dismiss", async (c) => {
      await records().tray.dismiss(Number(c.req.param("id")));
      return c.json({ dismissed: true });
    })
    .post("/:id/back", async (c) => {
      await records().tray.takeBack(Number(c.req.param("id")));
      return c.json({ dismissed: false });
    });
}
