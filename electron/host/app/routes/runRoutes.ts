import { Hono } from "hono";
import { z } from "zod";
import { DECISIONS } from "../../library/dispositions.ts";
import { JUDGED_VALUES, type JudgedValue } from "../../library/judgedValues.ts";
import { overviewOfRun } from "../../runs/summary.ts";
import type { Desk } from "../desk.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import { runCheckRoutes } from "./runCheckRoutes.ts";
import { runEventRoutes } from "./runEventRoutes.ts";
import { json, query } from "./valid.ts";

const VALUES = Object.keys(JUDGED_VALUES) as [JudgedValue, ...JudgedValue[]];

const positive = z.coerce.number().positive().max(1e6);
const trendQuery = z.object({
  value: z.enum(VALUES), second: z.enum(VALUES).optional(), lambda: z.coerce.number().gt(0).lte(1).optional(), k: positive.optional(), h: positive.optional(),
});
const runChange = z.object({
  sheets: z.int().min(1).max(100_000).nullable().optional(), name: z.string().trim().min(1).max(120).optional(), note: z.string().max(2000).optional(),
  toolId: z.int().nullable().optional(), finished: z.boolean().optional(),
  baseline: z.object({ from: z.int().min(1), to: z.int().max(100_000) }).refine((b) => b.to > b.from).nullable().optional(),
});
const decision = z.object({ from: z.int().min(1), to: z.int().min(1), decision: z.enum(DECISIONS), who: z.string().trim().min(1).max(80), why: z.string().trim().min(1).max(400) });

/** Runs: the list, one run's charts and advice, what to set aside of its stack, decisions, checks, events. */
export function runRoutes(services: Pick<AppServices, "library">, desk: Desk) {
  const records = () => recordsOf(services);
  const idOf = (text: string) => Number(text);
  const statistics = () => import("../../runs/statistics.ts");

  return new Hono()
    .get("/", async (c) => c.json(await records().runs.list()))
    .get("/:id", async (c) => c.json(await overviewOfRun(records(), idOf(c.req.param("id")))))
    .patch("/:id", json(runChange), async (c) => {
      const { finished, baseline, ...change } = c.req.valid("json");
      return c.json(await records().runs.change(idOf(c.req.param("id")), {
        ...change,
        ...(finished !== undefined && { finishedAt: finished ? new Date().toISOString() : null }),
        ...(baseline !== undefined && { baselineFrom: baseline?.from ?? null, baselineTo: baseline?.to ?? null }),
      }));
    })
    .delete("/:id", async (c) => c.json(await records().runs.delete(idOf(c.req.param("id")))))
    .get("/:id/trend", query(trendQuery), async (c) => {
      const { k, h, ...options } = c.req.valid("query");
      return c.json(await (await statistics()).chartsOfRun(records(), idOf(c.req.param("id")), { ...options, ...(k !== undefined && h !== undefined && { cusum: { k, h } }) }));
    })
    .get("/:id/wear", query(z.object({ value: z.enum(VALUES) })), async (c) => c.json(await (await statistics()).wearOfRun(records(), idOf(c.req.param("id")), c.req.valid("query").value)))
    .get("/:id/advice", async (c) => c.json(await (await statistics()).adviceOfRun(records(), idOf(c.req.param("id")))))
    .get("/:id/sampling", async (c) => c.json(await (await statistics()).samplingOfRun(records(), idOf(c.req.param("id")), await records().settings.get("sampling"))))
    .put("/:id/sampling", json(z.object({ badOverCheck: z.number().gt(0).max(1e6), faultsPer1000: z.number().min(0).max(1000) })), async (c) => {
      await records().settings.set("sampling", c.req.valid("json"));
      return c.json(await (await statistics()).samplingOfRun(records(), idOf(c.req.param("id")), c.req.valid("json")));
    })
    .get("/:id/setaside", async (c) => c.json(await (await statistics()).asideOfRun(records(), idOf(c.req.param("id")))))
    .post("/:id/decisions", json(decision), async (c) => {
      const { from, to, decision: made, who, why } = c.req.valid("json");
      return c.json(await records().dispositions.decide({ runId: idOf(c.req.param("id")), sheets: { from, to }, decision: made, who, why }));
    })
    .delete("/:id/decisions/:batch", async (c) => {
      await records().dispositions.takeBack(Number(c.req.param("batch")));
      return c.json({ takenBack: true });
    })
    .post("/:id/decisions/:batch/back", async (c) => {
      await records().dispositions.putBack(Number(c.req.param("batch")));
      return c.json({ takenBack: false });
    })
    .route("/:id/checks", runCheckRoutes(services, desk))
    .route("/:id/events", runEventRoutes(services));
}
