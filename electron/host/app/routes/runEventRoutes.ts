import { Hono } from "hono";
import { z } from "zod";
import type { NewEvent } from "../../library/events.ts";
import { recordsOf } from "../records.ts";
import type { AppServices } from "../services.ts";
import { json } from "./valid.ts";

const amount = z.number().min(-1000).max(1000).optional();
/** What each kind of event asks for; see EventDetails of the library. */
const details = z.discriminatedUnion("kind", [
  z.object({ kind: z.enum(["tool-changed", "pallet-changed", "restart", "note"]), detail: z.object({}) }),
  z.object({ kind: z.literal("correction"), detail: z.object({ x: amount, y: amount, rotation: amount, scaleX: amount, scaleY: amount }) }),
  z.object({ kind: z.literal("material-lot"), detail: z.object({ lot: z.string().trim().min(1).max(120) }) }),
  z.object({ kind: z.literal("humidity"), detail: z.object({ percent: z.number().min(0).max(100) }) }),
]);
const common = z.object({
  sheetNumber: z.int().min(1).max(1_000_000).nullable(), who: z.string().trim().max(80), note: z.string().trim().max(2000),
  /** The tool that was put in, by its identity; entered as a new one where it is not known. */
  tool: z.object({ code: z.string().trim().min(1).max(120), name: z.string().trim().max(120).optional(), kind: z.enum(["blade", "crease", "other"]), metresBefore: z.number().min(0).max(1e7).optional() }).optional(),
});

/** What happened in a run: entering, taking away (undone through the records' deletions). Mounted below a run. */
export function runEventRoutes(services: Pick<AppServices, "library">) {
  return new Hono<{ Variables: { id: string } }>()
    .post("/", json(details.and(common)), async (c) => {
      const library = recordsOf(services);
      const { tool, sheetNumber, who, note, ...what } = c.req.valid("json");
      const runId = Number(c.req.param("id"));
      await library.runs.get(runId);
      const toolId = tool ? (await toolOf(library, tool)).id : null;
      return c.json(await library.events.add({ ...what, runId, sheetNumber, who, note, toolId } as NewEvent));
    })
    .delete("/:event", async (c) => c.json(await recordsOf(services).events.delete(Number(c.req.param("event")))));
}

/** The known tool with this code, as it is; else a new one. */
async function toolOf(library: ReturnType<typeof recordsOf>, tool: NonNullable<z.infer<typeof common>["tool"]>) {
  const known = (await library.tools.list()).find((t) => t.code === tool.code);
  return known ?? library.tools.put({ code: tool.code, name: tool.name || tool.code, kind: tool.kind, metresBefore: tool.metresBefore ?? 0 });
}
