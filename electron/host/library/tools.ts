import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";

export type ToolKind = "blade" | "crease" | "other";

/** A blade or creasing tool, by its identity. */
export interface Tool {
  readonly id: number;
  /** Typed, or read from the code on the tool. */
  readonly code: string;
  readonly name: string;
  readonly kind: ToolKind;
  /** Metres it had cut before this library knew it. */
  readonly metresBefore: number;
  readonly note: string;
  /** Deleted: no longer offered, but what it cut stays on record. */
  readonly deleted: boolean;
}

/** What a tool did in one run: it cut the sheets `from` to `to` (1 = cut first), `metres` in all. */
export interface ToolUse {
  readonly runId: number;
  readonly toolId: number;
  readonly from: number;
  readonly to: number;
  readonly metres: number;
}

/** Blades and creasing tools, and what they have cut. */
export class Tools {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  /** Enters a tool, or changes the one with this code. */
  async put({ code, name = code, kind = "blade", metresBefore = 0, note = "" }: Pick<Tool, "code"> & Partial<Tool>): Promise<Tool> {
    const values = { name, kind, metres_before: metresBefore, note };
    const { id } = await this.#context.db.insertInto("tools").values({ code, ...values, made_at: this.#context.now().toISOString(), deleted_at: null })
      .onConflict((c) => c.column("code").where("deleted_at", "is", null).doUpdateSet(values)).returning("id").executeTakeFirstOrThrow();
    return this.get(id);
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<Tool> {
    const tool = (await this.known()).find((t) => t.id === id);
    if (!tool) throw notFound("tool", id);
    return tool;
  }

  /** The tools in use. */
  async list(): Promise<Tool[]> {
    return (await this.known()).filter((tool) => !tool.deleted);
  }

  /** Deleted tools too: runs that they cut go on to name them. */
  async known(): Promise<Tool[]> {
    const rows = await this.#context.db.selectFrom("tools").select(["id", "code", "name", "kind", "metres_before as metresBefore", "note", "deleted_at"]).orderBy("code").orderBy("id").execute();
    return rows.map(({ deleted_at, ...r }) => ({ ...r, kind: r.kind as ToolKind, deleted: deleted_at !== null }));
  }

  /** What each tool cut in a run: the run's own tool from the first sheet on, another one from the sheet of each "tool-changed" event on. */
  async usesIn(runId: number): Promise<ToolUse[]> {
    const { db } = this.#context;
    const run = await db.selectFrom("runs").innerJoin("job_versions", "job_versions.id", "runs.job_version_id")
      .select(["runs.sheets", "runs.tool_id", "cut_length", "crease_length"]).where("runs.id", "=", runId).executeTakeFirst();
    if (!run) throw notFound("run", runId);
    const last = run.sheets ?? (await this.#sheetsKnown(runId));
    const changes = await db.selectFrom("events").select(["tool_id", "sheet_number"]).where("run_id", "=", runId).where("kind", "=", "tool-changed")
      .where("tool_id", "is not", null).where("sheet_number", "is not", null).where("deleted_at", "is", null).orderBy("sheet_number").orderBy("id").execute();
    const kinds = new Map((await this.known()).map((t) => [t.id, t.kind]));
    const fittings = [{ tool_id: run.tool_id, sheet_number: 1 as number | null }, ...changes].filter((f) => f.tool_id !== null);
    return fittings.map(({ tool_id, sheet_number }, i) => {
      const toolId = tool_id as number;
      const kind = kinds.get(toolId) ?? "blade";
      // It stays in until the next tool of its own kind replaces it: a new blade leaves the creasing wheel where it is.
      const next = fittings.slice(i + 1).find((f) => (kinds.get(f.tool_id as number) ?? "blade") === kind);
      const from = sheet_number ?? 1;
      const to = Math.min(last, (next?.sheet_number ?? Infinity) - 1);
      const length = kind === "crease" ? run.crease_length : run.cut_length;
      return { runId, toolId, from, to, metres: (Math.max(0, to - from + 1) * length) / 1000 };
    }).filter((use) => use.to >= use.from);
  }

  /** Metres that a tool has cut by now, all runs together and what it had cut before. */
  metres(toolId: number): Promise<number> {
    return this.metresBeforeRun(toolId, Number.MAX_SAFE_INTEGER);
  }

  /** Metres that a tool had cut when the run began: what it had cut before, and in the runs started earlier. */
  async metresBeforeRun(toolId: number, runId: number): Promise<number> {
    const tool = await this.get(toolId);
    const runs = await this.#context.db.selectFrom("runs").select("id").where("deleted_at", "is", null).where("id", "<", runId)
      .where((e) => e.or([e("tool_id", "=", toolId), e("id", "in", e.selectFrom("events").select("run_id").where("tool_id", "=", toolId).where("deleted_at", "is", null))]))
      .execute();
    let sum = tool.metresBefore;
    for (const { id } of runs) for (const use of await this.usesIn(id)) if (use.toolId === toolId) sum += use.metres;
    return sum;
  }

  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("tool", id);
  }

  /** Where the stack's size was not told: the highest sheet number seen, else the number of checks. */
  async #sheetsKnown(runId: number): Promise<number> {
    const row = await this.#context.db.selectFrom("checks").select((e) => [e.fn.max("sheet_number").as("highest"), e.fn.countAll<number>().as("n")])
      .where("run_id", "=", runId).where("deleted_at", "is", null).executeTakeFirstOrThrow();
    return Math.max(row.highest ?? 0, row.n);
  }
}
