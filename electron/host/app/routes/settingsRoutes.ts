import { Hono } from "hono";
import { settingsSchema } from "../choices.ts";
import { AppFault } from "../fault.ts";
import type { Logo } from "../logo.ts";
import type { SettingsFile } from "../settings.ts";
import { json } from "./valid.ts";

/** Settings: read, and changed key by key; and the shop's logo. */
export function settingsRoutes(file: SettingsFile, logo: Logo) {
  return new Hono()
    .get("/", async (c) => c.json(await file.read()))
    .patch("/", json(settingsSchema.partial()), async (c) => c.json(await file.change(c.req.valid("json"))))
    .get("/logo", async (c) => {
      const png = await logo.read();
      if (!png) throw new AppFault(404, "no-logo", "The shop has given no logo.", "");
      return c.body(new Uint8Array(png), 200, { "content-type": "image/png", "cache-control": "no-store" });
    })
    .post("/logo", async (c) => {
      await logo.put(new Uint8Array(await c.req.arrayBuffer()));
      return c.json(await file.change({ hasLogo: true }));
    })
    .delete("/logo", async (c) => {
      await logo.remove();
      return c.json(await file.change({ hasLogo: false }));
    });
}
