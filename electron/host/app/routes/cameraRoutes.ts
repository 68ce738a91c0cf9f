import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Hono } from "hono";
import { z } from "zod";
import { profileSchema } from "../../../../core/camera/profile.ts";
import { readProfile } from "../../../../core/camera/readProfile.ts";
import { type Paper, ruleLengths, targetFor, writeTargetPdf } from "../../calibrate/targetPdf.ts";
import { TargetReader } from "../../calibrate/targetReader.ts";
import { AppFault } from "../fault.ts";
import { storedProfiles } from "../profiles.ts";
import { localIso } from "../recordCheck.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import type { SettingsFile } from "../settings.ts";
import { json, query } from "./valid.ts";

const PAPERS = ["a4", "a3"] as const satisfies readonly Paper[];
const paper = z.enum(PAPERS);

const point = z.object({ x: z.number(), y: z.number(), u: z.number(), v: z.number() });
const reading = z.object({
  name: z.string(), width: z.int().positive(), height: z.int().positive(), points: z.array(point).max(5000),
  exif: z.object({
    make: z.string().optional(), model: z.string().optional(), lensModel: z.string().optional(), focalLength: z.number().optional(), focalLength35: z.number().optional(),
    takenAt: z.string().optional(), orientation: z.int().optional(),
  }).optional(),
});
const set = z.object({
  kind: z.enum(["camera", "scanner"]), name: z.string().max(120), paper, pictures: z.array(reading).max(60),
  /** The printed rules as measured, mm. */
  rules: z.object({ x: z.number().positive(), y: z.number().positive() }).optional(),
});

/** Camera and scanner profiles: the target, what pictures show of it, the profile they give, and those that are kept. */
export function cameraRoutes(services: AppServices, settings: SettingsFile) {
  const records = () => recordsOf(services);
  const reader = new TargetReader(services.stopping);
  return new Hono()
    .get("/", async (c) => c.json({ profiles: await storedProfiles(services.library), chosen: (await settings.read()).profile }))
    .get("/target/:paper", (c) => c.json({ target: targetFor(paperOf(c.req.param("paper"))), rules: ruleLengths(paperOf(c.req.param("paper"))) }))
    .get("/target/:paper/pdf", async (c) => {
      const size = paperOf(c.req.param("paper"));
      return c.body(new Uint8Array(await targetPdf(size)), 200, { "content-type": "application/pdf", "content-disposition": `attachment; filename="calibration-target-${size}.pdf"` });
    })
    .post("/readings", query(z.object({ name: z.string().min(1).max(255), paper })), async (c) => {
      const { name, paper: size } = c.req.valid("query");
      const bytes = new Uint8Array(await c.req.arrayBuffer());
      return c.json(await reader.read({ bytes, name, target: targetFor(size) }, c.req.raw.signal));
    })
    .post("/make", json(set), async (c) => {
      const { kind, name, paper: size, pictures, rules } = c.req.valid("json");
      const [nominal, target] = [ruleLengths(size), targetFor(size)];
      // The target is read at its nominal size; where the print came out larger or smaller, so did its grid.
      const by = { x: rules ? rules.x / nominal.x : 1, y: rules ? rules.y / nominal.y : 1 };
      const printed = pictures.map((p) => ({ ...p, points: p.points.map((q) => ({ ...q, x: q.x * by.x, y: q.y * by.y })) }));
      const given = { name: name.trim() || kind, date: localIso(new Date()).slice(0, 10), target: target.id };
      return c.json(await reader.calibrate({ kind, pictures: printed, given, measured: rules !== undefined }, c.req.raw.signal));
    })
    .post("/", json(z.object({ profile: profileSchema })), async (c) => {
      const { profile } = c.req.valid("json");
      return c.json(await records().profiles.save(profile.name, profile));
    })
    .post("/file", async (c) => {
      const read = readProfile(await c.req.text());
      if (!read.ok) throw new AppFault(422, "bad-profile", `This file is not a profile that can be used: ${read.errors.join(" ")}`, "Choose a profile made by kerfmark calibrate.");
      const { id, name } = await records().profiles.save(read.profile.name, read.profile);
      return c.json({ id, name });
    })
    .delete("/:id", async (c) => {
      const id = c.req.param("id");
      const deletion = await records().profiles.delete(Number(id));
      if ((await settings.read()).profile === id) await settings.change({ profile: "auto" });
      return c.json({ id: deletion.id });
    });
}

function paperOf(text: string): Paper {
  const size = paper.safeParse(text);
  if (!size.success) throw new AppFault(404, "no-paper", `There is no target for the paper "${text}".`, "Ask for a4 or a3.");
  return size.data;
}

async function targetPdf(size: Paper): Promise<Buffer> {
  const folder = await mkdtemp(join(tmpdir(), "kerfmark-target-"));
  try {
    const file = join(folder, "target.pdf");
    await writeTargetPdf(file, targetFor(size), size);
    return await readFile(file);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
