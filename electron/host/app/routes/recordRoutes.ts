import { rm } from "node:fs/promises";
import { join } from "node:path";
import { Readable } from "node:stream";
import { Hono } from "hono";
import { z } from "zod";
import { verifyLibrary } from "../../library/verify.ts";
import { AppFault } from "../fault.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import { Shelf } from "../shelf.ts";
import { json } from "./valid.ts";

const word = z.string().trim().min(1).max(60);
const axes = z.object({ plusX: word, minusX: word, plusY: word, minusY: word }).nullable();

/** What belongs to no single run: the demo, tools, undoing, keeping the records whole, the words for the cutter's axes. */
export function recordRoutes(services: Pick<AppServices, "library" | "samplesDir" | "dataDir">) {
  const records = () => recordsOf(services);
  return new Hono()
    .post("/demo", async (c) => {
      const { loadDemo } = await import("../../runs/demo/loadDemo.ts");
      return c.json(await loadDemo(records(), services.samplesDir));
    })
    .get("/tools", async (c) => {
      const tools = await records().tools.known();
      return c.json(await Promise.all(tools.map(async (tool) => ({ ...tool, metres: await records().tools.metres(tool.id) }))));
    })
    .post("/tools/code", async (c) => {
      if (!c.req.raw.body) throw new AppFault(422, "empty-file", "The picture is empty.", "Take it again.");
      const shelved = await new Shelf(join(services.dataDir, "tools")).take(c.req.raw.body, "tool", c.req.raw.signal);
      const { readToolCode } = await import("../../pictures/toolCode.ts");
      try {
        return c.json({ code: await readToolCode(shelved.path) });
      } catch (error) {
        throw new AppFault(422, "picture-unreadable", `The picture cannot be read: ${(error as Error).message}`, "Save it as JPEG, PNG or TIFF.");
      } finally {
        await rm(shelved.path, { force: true });
      }
    })
    .delete("/tools/:id", async (c) => c.json(await records().tools.delete(Number(c.req.param("id")))))
    .get("/deletions", async (c) => c.json(await records().deletions.list()))
    .post("/deletions/:id/undo", async (c) => c.json(await records().deletions.undo(Number(c.req.param("id")))))
    .get("/library", async (c) => c.json({ folder: records().folder, pictures: await records().settings.get("pictures") }))
    .put("/pictures", json(z.object({ pictures: z.enum(["in-place", "copy"]) })), async (c) => {
      await records().settings.set("pictures", c.req.valid("json").pictures);
      return c.json({ set: true });
    })
    .post("/backup", async (c) => c.json({ path: await records().backup() }))
    .post("/verify", async (c) => c.json(await verifyLibrary(records().folder)))
    .get("/checks.csv", async (c) => {
      const { exportCsv } = await import("../../library/export.ts");
      c.header("content-disposition", 'attachment; filename="checks.csv"');
      return c.body(Readable.toWeb(Readable.from(exportCsv(records().folder))) as ReadableStream, 200, { "content-type": "text/csv; charset=utf-8" });
    })
    .put("/axes/:job", json(z.object({ axes })), async (c) => {
      await records().jobs.setAxes(Number(c.req.param("job")), c.req.valid("json").axes);
      return c.json({ set: true });
    });
}
