import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Hono } from "hono";
import { z } from "zod";
import { profileSchema } from "../../../../core/camera/profile.ts";
import { readProfile } from "../../../../core/camera/readProfile.ts";
import type { Paper, TargetKind } from "../../calibrate/targetPdf.ts";
import { TargetReader } from "../../calibrate/targetReader.ts";
import { AppFault } from "../fault.ts";
import { storedProfiles } from "../profiles.ts";
import { localTime } from "../../localTime.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import type { SettingsFile } from "../settings.ts";
import { json, query } from "./valid.ts";

const PAPERS = ["a4", "a3"] as const satisfies readonly Paper[];
const paper = z.enum(PAPERS);
const KINDS = ["dots", "charuco"] as const satisfies readonly TargetKind[];
const target = z.enum(KINDS);

const point = z.object({ x: z.number(), y: z.number(), u: z.number(), v: z.number() });
const reading = z.object({
  name: z.string(), width: z.int().positive(), height: z.int().positive(), points: z.array(point).max(5000),
  exif: z.object({
    make: z.string().optional(), model: z.string().optional(), lensModel: z.string().optional(), focalLength: z.number().optional(), focalLength35: z.number().optional(),
    takenAt: z.string().optional(), orientation: z.int().optional(),
  }).optional(),
});
const set = z.object({
  kind: z.enum(["camera", "scanner"]), name: z.string().max(120), paper, target, pictures: z.array(reading).max(60),
  /** The printed rules as measured, mm. */
  rules: z.object({ x: z.number().positive(), y: z.number().positive() }).optional(),
});

/** Camera and scanner profiles: the target, what pictures show of it, the profile they give, and those that are kept. */
export function cameraRoutes(services: AppServices, settings: SettingsFile) {
  const records = () => recordsOf(services);
  const reader = new TargetReader(services.stopping);
  return new Hono()
    .get("/", async (c) => c.json({ profiles: await storedProfiles(services.library), chosen: (await settings.read()).profile }))
    .get("/target/:kind/:paper", async (c) => {
      const { ruleLengths, targetFor } = await targets();
      const [kind, size] = [kindOf(c.req.param("kind")), paperOf(c.req.param("paper"))];
      return c.json({ target: targetFor(size, kind), rules: ruleLengths(size) });
    })
    .get("/target/:kind/:paper/pdf", async (c) => {
      const [kind, size] = [kindOf(c.req.param("kind")), paperOf(c.req.param("paper"))];
      return c.body(new Uint8Array(await targetPdf(kind, size)), 200, { "content-type": "application/pdf", "content-disposition": `attachment; filename="calibration-target-${kind}-${size}.pdf"` });
    })
    .post("/readings", query(z.object({ name: z.string().min(1).max(255), paper, target })), async (c) => {
      const { name, paper: size, target: kind } = c.req.valid("query");
      const { targetFor } = await targets();
      const bytes = new Uint8Array(await c.req.arrayBuffer());
      return c.json(await reader.read({ bytes, name, target: targetFor(size, kind) }));
    })
    .post("/make", json(set), async (c) => {
      const { kind, name, paper: size, target: targetKind, pictures, rules } = c.req.valid("json");
      const { ruleLengths, targetFor } = await targets();
      const nominal = ruleLengths(size);
      // The target is read at its nominal size; where the print came out larger or smaller, so did its grid.
      const by = { x: rules ? rules.x / nominal.x : 1, y: rules ? rules.y / nominal.y : 1 };
      const printed = pictures.map((p) => ({ ...p, points: p.points.map((q) => ({ ...q, x: q.x * by.x, y: q.y * by.y })) }));
      const given = { name: name.trim() || kind, date: localTime(new Date()).slice(0, 10), target: targetFor(size, targetKind).id };
      return c.json(await reader.calibrate({ kind, pictures: printed, given, measured: rules !== undefined }));
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

function kindOf(text: string): TargetKind {
  const kind = target.safeParse(text);
  if (!kind.success) throw new AppFault(404, "no-target", `There is no kind of target "${text}".`, "Ask for dots or charuco.");
  return kind.data;
}

/** Drawing targets takes the writer of PDF with it: loaded when a target is asked for. */
function targets() {
  return import("../../calibrate/targetPdf.ts");
}

async function targetPdf(kind: TargetKind, size: Paper): Promise<Buffer> {
  const folder = await mkdtemp(join(tmpdir(), "kerfmark-target-"));
  try {
    const file = join(folder, "target.pdf");
    const { targetFor, writeTargetPdf } = await targets();
    await writeTargetPdf(file, targetFor(size, kind), size);
    return await readFile(file);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
