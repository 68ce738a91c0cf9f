import { Hono } from "hono";
import { settingsSchema } from "../choices.ts";
import type { SettingsFile } from "../settings.ts";
import { json } from "./valid.ts";

/** Settings: read, and changed key by key. */
export function settingsRoutes(file: SettingsFile) {
  return new Hono()
    .get("/", async (c) => c.json(await file.read()))
    .patch("/", json(settingsSchema.partial()), async (c) => c.json(await file.change(c.req.valid("json"))));
}
