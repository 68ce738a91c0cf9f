import { mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { Hono } from "hono";
import { z } from "zod";
import type { CheckRecord } from "../../../../core/check/record.ts";
import { gaugeValuesOf } from "../../../../core/gauge/values.ts";
import type { Desk } from "../desk.ts";
import { noJob } from "../measure.ts";
import type { AppServices } from "../services.ts";
import { json, query } from "./valid.ts";

const readings = z.object({ x: z.number(), y: z.number(), rotation: z.number(), skew: z.number(), scaleX: z.number(), scaleY: z.number(), position: z.number() });

/** A gauge study as it stands: its plan, and what was read so far. Kept whole, so that nobody has to finish it in one go. */
const studySchema = z.object({
  sheets: z.array(z.string().max(40)).max(100), operators: z.array(z.string().max(60)).max(20), repeats: z.int().min(2).max(20),
  value: z.string().max(20), tolerance: z.number().positive().nullable(),
  /** By "sheet/operator/repeat", counted from 0. */
  readings: z.record(z.string(), z.object({ image: z.string(), values: readings })),
  /** True values of sheets of known error, by sheet. */
  references: z.record(z.string(), z.number()),
  lengths: z.object({ a: z.number().positive(), k: z.number().positive(), rows: z.array(z.object({ reference: z.number(), value: z.number() })).max(500) }),
});

export type Study = z.infer<typeof studySchema>;
export type StudyValues = z.infer<typeof readings>;

const EMPTY_STUDY: Study = {
  sheets: [], operators: [], repeats: 2, value: "x", tolerance: null, readings: {}, references: {}, lengths: { a: 0.05, k: 10_000, rows: [] },
};

/** The gauge study in hand: kept as it grows, and pictures of it measured without entering them anywhere. */
export function gaugeRoutes(services: AppServices, desk: Desk) {
  const file = join(services.dataDir, "gauge-study.json");
  return new Hono()
    .get("/", async (c) => {
      const text = await readFile(file, "utf8").catch((error: NodeJS.ErrnoException) => {
        if (error.code === "ENOENT") return null;
        throw error;
      });
      const study = text === null ? EMPTY_STUDY : studySchema.parse(JSON.parse(text));
      return c.json({ study, job: desk.job && { id: desk.job.id, name: desk.job.name, position: desk.job.tolerance.position } });
    })
    .put("/", json(studySchema), async (c) => {
      await mkdir(services.dataDir, { recursive: true });
      await writeFile(`${file}.draft`, JSON.stringify(c.req.valid("json")));
      await rename(`${file}.draft`, file);
      return c.json({ kept: true });
    })
    .post("/measure", query(z.object({ name: z.string().min(1).max(255) })), async (c) => {
      if (!desk.job) throw noJob();
      const image = new Uint8Array(await c.req.arrayBuffer());
      const { record } = await services.pool.check({ image, name: c.req.valid("query").name, job: desk.job, signal: c.req.raw.signal });
      return c.json(answerOf(record));
    });
}

type Answer = { readonly ok: true; readonly values: StudyValues; readonly U: number } | { readonly ok: false; readonly code: string; readonly message: string; readonly hint: string };

function answerOf(record: CheckRecord): Answer {
  if (record.status === "refused") return { ok: false, ...record.refusal };
  return { ok: true, U: record.offset.U, values: gaugeValuesOf(record) };
}
