import { Hono } from "hono";
import { z } from "zod";
import { checkOfRun } from "../../runs/checkOfRun.ts";
import type { Desk } from "../desk.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import { json, query } from "./valid.ts";

/** Checks of a page of the list. */
const PAGE = 100;

/** The checks of a run: the list by pages, one with its picture, its sheet's number put right, deleting. Mounted below a run. */
export function runCheckRoutes(services: Pick<AppServices, "library">, desk: Desk) {
  const records = () => recordsOf(services);
  return new Hono<{ Variables: { id: string } }>()
    .get("/", query(z.object({ offset: z.coerce.number().int().min(0) })), async (c) => c.json(await records().checks.page(Number(c.req.param("id")), { offset: c.req.valid("query").offset, limit: PAGE })))
    .get("/:check", async (c) => {
      const { picture, ...shown } = await checkOfRun(records(), Number(c.req.param("id")), Number(c.req.param("check")));
      const id = `check-${shown.check.id}`;
      if (picture) desk.lend({ id, name: shown.check.image, sha256: picture.sha256, bytes: picture.bytes, takenInAt: shown.check.addedAt, from: "screen" }, picture.path);
      return c.json({ ...shown, pictureId: picture ? id : null });
    })
    .patch("/:check", json(z.object({ sheet: z.string().trim().min(1).max(40).nullable() })), async (c) => {
      await records().checks.renameSheet(Number(c.req.param("check")), c.req.valid("json").sheet);
      return c.json(await records().checks.get(Number(c.req.param("check"))));
    })
    .delete("/:check", async (c) => c.json(await records().checks.delete(Number(c.req.param("check")))));
}
