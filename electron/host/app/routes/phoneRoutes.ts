import { Hono } from "hono";
import { z } from "zod";
import type { PhoneStation } from "../phoneStation.ts";
import { json } from "./valid.ts";

/** The phone door's switch on the Check screen. */
export function phoneRoutes(phone: PhoneStation) {
  return new Hono()
    .get("/", async (c) => c.json(await phone.state()))
    .post("/open", json(z.object({ address: z.string().max(255).optional() })), async (c) => c.json(await phone.open(c.req.valid("json").address)))
    .post("/code", async (c) => c.json(await phone.newCode()))
    .post("/close", async (c) => c.json(await phone.close()));
}
