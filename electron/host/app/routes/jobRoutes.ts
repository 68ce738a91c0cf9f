import { Hono } from "hono";
import { z } from "zod";
import { profileSchema } from "../../../../core/camera/profile.ts";
import { presetSchema } from "../../../../core/job/import/meaning.ts";
import { readJob } from "../../../../core/job/read.ts";
import { type DraftJob, draftSchema, type JobPage } from "../../library/drafts.ts";
import type { Library } from "../../library/library.ts";
import { AppFault } from "../fault.ts";
import { type JobTextFault, readJobText } from "../jobText.ts";
import { sketchOf } from "../sketch.ts";
import { json } from "./valid.ts";

/** A job file taken in: its number, or what is wrong with it. */
export type JobFileAnswer =
  | { readonly taken: true; readonly id: number; readonly faults: readonly JobTextFault[] }
  | { readonly taken: false; readonly faults: readonly JobTextFault[] };

/** A draft kept as a version, or what a job still lacks. */
export type KeepAnswer =
  | { readonly kept: true; readonly page: JobPage; readonly versionId: number }
  | { readonly kept: false; readonly faults: readonly JobTextFault[] };

/** The shop's jobs: the list, drafts and versions, import presets. */
export function jobRoutes(library: Library | undefined) {
  const records = (): Library => {
    if (!library) throw new AppFault(503, "no-library", "There is no library here, so no jobs are kept.", "Start Kerfmark with a library folder.");
    return library;
  };
  const number = (text: string): number => {
    const value = Number(text);
    if (!Number.isInteger(value)) throw new AppFault(404, "not-found", `There is no job ${text} in the library.`, "Go back to the list of jobs.");
    return value;
  };

  return new Hono()
    .get("/", async (c) => c.json(await records().drafts.list()))
    .post("/", json(draftSchema), async (c) => c.json({ id: await records().drafts.create(c.req.valid("json")) }))
    .post("/file", async (c) => c.json<JobFileAnswer>(await takeFile(records(), await c.req.text())))
    .get("/profiles", async (c) => c.json(await profilesOf(records())))
    .get("/presets", async (c) => c.json(await presetsOf(records())))
    .put("/presets", json(presetSchema), async (c) => {
      const preset = c.req.valid("json");
      await records().presets.save(preset.name, preset);
      return c.json(await presetsOf(records()));
    })
    .delete("/presets/:id", async (c) => c.json(await records().presets.delete(number(c.req.param("id")))))
    .post("/undo/:deletion", async (c) => c.json(await records().deletions.undo(number(c.req.param("deletion")))))
    .get("/:id", async (c) => c.json(await records().drafts.page(number(c.req.param("id")))))
    .put("/:id/draft", json(draftSchema), async (c) => {
      await records().drafts.save(number(c.req.param("id")), c.req.valid("json"));
      return c.json({ saved: true });
    })
    .post("/:id/versions", async (c) => c.json<KeepAnswer>(await keep(records(), number(c.req.param("id")))))
    .get("/:id/versions/:version", async (c) => {
      const version = await records().jobs.version(number(c.req.param("version")));
      if (version.jobId !== number(c.req.param("id"))) throw new AppFault(404, "not-found", "That version belongs to another job.", "Reload the list of versions.");
      return c.json(version.job);
    })
    .post("/:id/duplicate", json(z.object({ name: z.string().max(400) })), async (c) => {
      const { content } = await records().drafts.page(number(c.req.param("id")));
      return c.json({ id: await records().drafts.create({ ...content, name: c.req.valid("json").name }) });
    })
    .delete("/:id", async (c) => c.json(await records().jobs.delete(number(c.req.param("id")))))
    .get("/:id/sketch.svg", async (c) => {
      const { content } = await records().drafts.page(number(c.req.param("id")));
      return c.body(sketchOf(content), 200, { "content-type": "image/svg+xml", "cache-control": "private, no-cache" });
    });
}

/** Camera and scanner profiles, for predictions. */
async function profilesOf(library: Library) {
  return (await library.profiles.list()).flatMap(({ name, content }) => {
    const profile = profileSchema.safeParse(content);
    return profile.success ? [{ name, content: profile.data }] : [];
  });
}

/** Presets whose content still reads as one; what another program left there is not offered. */
async function presetsOf(library: Library) {
  return (await library.presets.list()).flatMap(({ id, content }) => {
    const preset = presetSchema.safeParse(content);
    return preset.success ? [{ id, ...preset.data }] : [];
  });
}

/**
 * Takes a job file in. A whole job becomes a version of its id; a draft that is there is kept as a version before (or, where it has no cut yet, as a job of
 * its own), so that nothing is lost. A file whose form is right but which lacks something, marks for instance, becomes a draft.
 */
async function takeFile(library: Library, text: string): Promise<JobFileAnswer> {
  const read = readJobText(text);
  if (!read.ok) {
    const form = draftSchema.safeParse(parsed(text));
    if (!form.success) return { taken: false, faults: read.faults };
    return { taken: true, id: await library.drafts.create(form.data), faults: read.faults };
  }
  const there = await library.drafts.find(read.job.id);
  if (there?.draft) await setDraftAside(library, there.id);
  return { taken: true, id: (await library.jobs.put(read.job)).jobId, faults: [] };
}

async function setDraftAside(library: Library, id: number): Promise<void> {
  const { content } = await library.drafts.page(id);
  if (content.cuts.length === 0) await library.drafts.create(content);
  else await library.drafts.keep(id);
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ""));
  } catch (error) {
    if (error instanceof SyntaxError || error instanceof RangeError) return null;
    throw error;
  }
}

async function keep(library: Library, id: number): Promise<KeepAnswer> {
  const { content } = await library.drafts.page(id);
  const faults = faultsOf(content);
  if (faults.length > 0) return { kept: false, faults };
  const version = await library.drafts.keep(id);
  return { kept: true, page: await library.drafts.page(id), versionId: version.id };
}

function faultsOf(content: DraftJob): JobTextFault[] {
  const read = readJob(content);
  return read.ok ? [] : read.errors.map(({ path, message }) => ({ path, message }));
}
