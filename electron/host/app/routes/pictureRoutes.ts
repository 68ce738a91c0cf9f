import { join } from "node:path";
import { Hono } from "hono";
import { z } from "zod";
import type { Desk, DeskPicture } from "../desk.ts";
import { AppFault } from "../fault.ts";
import type { Inbox } from "../inbox.ts";
import { measureOnDesk, noJob } from "../measure.ts";
import { buildPyramid, pyramidOf, readTile, reducedCopy, trimTiles } from "../pyramid.ts";
import type { AppServices } from "../services.ts";
import { Shelf } from "../shelf.ts";
import { sizeAsSeen, viewable } from "../viewing.ts";
import { query } from "./valid.ts";

const KEEP = "private, max-age=86400, immutable";

export interface TakenIn {
  readonly picture: DeskPicture;
  /** The same picture was here before; it is not counted twice. */
  readonly already: boolean;
}

/** Pictures: taking in, measuring, and the tiles the screens show. */
export function pictureRoutes(services: AppServices, desk: Desk, inbox: Inbox) {
  const shelf = new Shelf(inbox.folder);
  const tilesOf = (id: string) => join(services.dataDir, "tiles", desk.picture(id).sha256);
  trimTiles(join(services.dataDir, "tiles")).catch((error: Error) => console.error(error));
  const seen = (id: string) => viewable(desk.pathOf(id), tilesOf(id), (from, to) => services.pool.rewriteHeic({ from, to }));

  return new Hono()
    .post("/", query(z.object({ name: z.string().min(1).max(255), from: z.enum(["screen", "shell"]).optional() })), async (c) => {
      const { name, from } = c.req.valid("query");
      if (!desk.job) throw noJob();
      if (!c.req.raw.body) throw new AppFault(422, "empty-file", `"${name}" is empty.`, "Copy the file again.");
      inbox.makeRoom();
      const shelved = await shelf.take(c.req.raw.body, name, c.req.raw.signal);
      return c.json<TakenIn>(desk.lay(shelved, name, new Date(), from));
    })
    .post("/preview", async (c) => {
      if (!desk.job) throw noJob();
      const frame = new Uint8Array(await c.req.arrayBuffer());
      return c.json(await services.pool.preview({ image: frame, job: desk.job }, c.req.raw.signal).catch(unreadable));
    })
    .post("/:id/check", async (c) => c.json(await measureOnDesk(services, desk, c.req.param("id"), c.req.raw.signal)))
    .delete("/:id", (c) => {
      desk.takeOff(c.req.param("id"));
      return c.json({ removed: true });
    })
    .post("/:id/back", (c) => c.json(desk.putBack(c.req.param("id"))))
    .get("/:id/pyramid", async (c) => {
      const { width, height } = await seen(c.req.param("id")).then(sizeAsSeen).catch(unreadable);
      return c.json(pyramidOf(width, height));
    })
    .get("/:id/reduced/:side", async (c) => {
      const side = Math.min(4096, Math.max(64, Number(c.req.param("side")) || 256));
      const id = c.req.param("id");
      const bytes = await seen(id).then((path) => reducedCopy(path, tilesOf(id), side)).catch(unreadable);
      return c.body(new Uint8Array(bytes), 200, { "content-type": "image/jpeg", "cache-control": KEEP });
    })
    .get("/:id/tiles/:level/:column/:row", async (c) => {
      const { id, level, column, row } = c.req.param();
      const folder = tilesOf(id);
      await seen(id).then((path) => buildPyramid(path, folder)).catch(unreadable);
      const bytes = await readTile(folder, whole(level), whole(column), whole(row));
      if (!bytes) throw new AppFault(404, "no-tile", "No such tile.", "");
      return c.body(new Uint8Array(bytes), 200, { "content-type": "image/jpeg", "cache-control": KEEP });
    });
}

function unreadable(error: Error): never {
  if (error instanceof AppFault) throw error;
  throw new AppFault(422, "picture-unreadable", `The picture cannot be shown: ${error.message}`, "Save it as JPEG, PNG or TIFF and put it in again.");
}

function whole(text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 0) throw new AppFault(400, "bad-request", "Tile numbers are whole.", "");
  return value;
}
