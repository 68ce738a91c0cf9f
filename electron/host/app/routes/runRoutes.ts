import { Hono } from "hono";
import { z } from "zod";
import { setAside } from "../../../../core/setaside/ranges.ts";
import { DECISIONS } from "../../library/dispositions.ts";
import { JUDGED_VALUES, type JudgedValue } from "../../library/judgedValues.ts";
import type { Library } from "../../library/library.ts";
import { trendOfRun } from "../../runs/trendOfRun.ts";
import { AppFault } from "../fault.ts";
import { json, query } from "./valid.ts";

const VALUES = Object.keys(JUDGED_VALUES) as [JudgedValue, ...JudgedValue[]];

/** Runs: the list, one run's trend, what to set aside of its stack, and decisions. */
export function runRoutes(library: Library | undefined) {
  const records = (): Library => {
    if (!library) throw new AppFault(503, "no-library", "There is no library here, so no runs are kept.", "Start Kerfmark with a library folder.");
    return library;
  };
  const idOf = (text: string) => Number(text);

  return new Hono()
    .get("/", async (c) => c.json(await records().runs.list()))
    .get("/:id", async (c) => c.json(await overview(records(), idOf(c.req.param("id")))))
    .patch("/:id", json(z.object({ sheets: z.int().min(1).max(100_000).nullable().optional(), name: z.string().min(1).max(120).optional() })), async (c) =>
      c.json(await records().runs.change(idOf(c.req.param("id")), c.req.valid("json"))))
    .get("/:id/trend", query(z.object({ value: z.enum(VALUES) })), async (c) =>
      c.json(await trendOf(records(), idOf(c.req.param("id")), c.req.valid("query").value)))
    .get("/:id/setaside", async (c) => c.json(await setAsideOf(records(), idOf(c.req.param("id")))))
    .post("/:id/decisions", json(decision), async (c) => {
      const { from, to, decision: made, who, why } = c.req.valid("json");
      return c.json(await records().dispositions.decide({ runId: idOf(c.req.param("id")), sheets: { from, to }, decision: made, who, why }));
    })
    .delete("/:id/decisions/:batch", async (c) => {
      await records().dispositions.takeBack(Number(c.req.param("batch")));
      return c.json({ takenBack: true });
    });
}

const decision = z.object({ from: z.int().min(1), to: z.int().min(1), decision: z.enum(DECISIONS), who: z.string().min(1).max(80), why: z.string().min(1).max(400) });

async function overview(library: Library, id: number) {
  const run = await library.runs.get(id);
  const { job } = await library.jobs.version(run.jobVersionId);
  return { run, job: { id: job.id, name: job.name, tolerance: job.tolerance }, checks: await library.checks.count(id), events: await library.events.ofRun(id) };
}

async function trendOf(library: Library, id: number, value: JudgedValue) {
  const { trend: statistics, rows, limits } = await trendOfRun(library, id, { value });
  return { value, limits, sheets: rows.sheet, verdicts: rows.verdict, values: rows.values[value] ?? [], U: rows.U[value] ?? [], statistics };
}

/** The stack as long as the run says, else as far as its highest checked number. */
async function setAsideOf(library: Library, id: number) {
  const run = await library.runs.get(id);
  const series = await library.checks.series(id, { values: ["position"] });
  const checks = new Map(series.sheetNumber.flatMap((n, i) => (n === null || n < 1 ? [] : [[n, series.verdict[i]] as const])));
  const sheets = Math.max(run.sheets ?? 0, ...checks.keys());
  const decisions = [...(await library.dispositions.current(id)).values()];
  return { sheets, known: run.sheets !== null, unnumbered: series.sheetNumber.filter((n) => n === null).length, result: sheets > 0 ? setAside(checks, sheets) : null, decisions };
}
