import type { Verdict } from "../../../core/check/record.ts";
import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";
import { localTime } from "../localTime.ts";

/** A stack of sheets of one job, cut in one go, with the job's version of its day. */
export interface Run {
  readonly id: number;
  readonly jobVersionId: number;
  readonly name: string;
  /** Sheets in the stack; null where not known. */
  readonly sheets: number | null;
  /** The tool that cut its first sheet; later ones come by events. */
  readonly toolId: number | null;
  readonly note: string;
  readonly startedAt: string;
  readonly finishedAt: string | null;
  /** The rows (from 1) that the control limits come from, as somebody stated; null for the first ones. */
  readonly baselineFrom: number | null;
  readonly baselineTo: number | null;
}

/** A run in a list, with what was found in it. */
export interface RunSummary extends Run {
  readonly job: string;
  readonly jobName: string;
  readonly checks: number;
  readonly verdicts: Readonly<Record<Verdict, number>>;
}

export interface NewRun {
  readonly jobVersionId: number;
  readonly name?: string;
  readonly sheets?: number | null;
  readonly toolId?: number | null;
  readonly note?: string;
}

export type RunChange = Partial<Pick<Run, "name" | "sheets" | "toolId" | "note" | "finishedAt" | "baselineFrom" | "baselineTo">>;

const COLUMNS = [
  "runs.id", "runs.job_version_id as jobVersionId", "runs.name", "runs.sheets", "runs.tool_id as toolId", "runs.note",
  "runs.started_at as startedAt", "runs.finished_at as finishedAt",
  "runs.baseline_from as baselineFrom", "runs.baseline_to as baselineTo",
] as const;

/** The stacks that were cut, each with what is known of it. */
export class Runs {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  /** Starts a run; without a name it is called by its job and the shop's time. */
  async start({ jobVersionId, name, sheets = null, toolId = null, note = "" }: NewRun): Promise<Run> {
    const now = this.#context.now();
    const started_at = now.toISOString();
    const { id } = await this.#context.db.transaction().execute(async (t) => {
      const version = await t.selectFrom("job_versions").select("name").where("id", "=", jobVersionId).executeTakeFirst();
      if (!version) throw notFound("job version", jobVersionId);
      return t.insertInto("runs").values({
        job_version_id: jobVersionId, name: name ?? `${version.name}, ${localTime(now).slice(0, 16).replace("T", " ")}`, sheets, tool_id: toolId, note,
        started_at, finished_at: null, baseline_from: null, baseline_to: null, deleted_at: null,
      }).returning("id").executeTakeFirstOrThrow();
    });
    return this.get(id);
  }

  /** @throws LibraryFault "not-found" */
  async get(id: number): Promise<Run> {
    const row = await this.#context.db.selectFrom("runs").select(COLUMNS).where("id", "=", id).where("deleted_at", "is", null).executeTakeFirst();
    if (!row) throw notFound("run", id);
    return row;
  }

  /** The run that a sheet of this job belongs to when none is named: the last one of this job version that is not finished, else a new one. */
  async openOrStart(jobVersionId: number): Promise<Run> {
    const open = await this.#context.db.selectFrom("runs").select(COLUMNS).where("job_version_id", "=", jobVersionId).where("finished_at", "is", null)
      .where("deleted_at", "is", null).orderBy("id", "desc").limit(1).executeTakeFirst();
    return open ?? this.start({ jobVersionId });
  }

  /** @throws LibraryFault "not-found" */
  async change(id: number, { name, sheets, toolId, note, finishedAt, baselineFrom, baselineTo }: RunChange): Promise<Run> {
    await this.get(id);
    const values = { name, sheets, tool_id: toolId, note, finished_at: finishedAt, baseline_from: baselineFrom, baseline_to: baselineTo };
    if (Object.values(values).some((v) => v !== undefined)) await this.#context.db.updateTable("runs").set(values).where("id", "=", id).execute();
    return this.get(id);
  }

  /** Marks the run as cut to its end; later sheets of its job begin a new one. */
  finish(id: number): Promise<Run> {
    return this.change(id, { finishedAt: this.#context.now().toISOString() });
  }

  /** Runs with their counts, the latest first; of one job where `jobId` is given. */
  async list({ jobId, limit = 200, offset = 0 }: { jobId?: number; limit?: number; offset?: number } = {}): Promise<RunSummary[]> {
    let query = this.#context.db.selectFrom("runs").innerJoin("job_versions", "job_versions.id", "runs.job_version_id")
      .innerJoin("jobs", "jobs.id", "job_versions.job_id").select([...COLUMNS, "jobs.job", "job_versions.name as jobName"])
      .where("runs.deleted_at", "is", null).orderBy("runs.id", "desc").limit(limit).offset(offset);
    if (jobId !== undefined) query = query.where("jobs.id", "=", jobId);
    const rows = await query.execute();
    const counts = await this.#verdicts(rows.map((r) => r.id));
    return rows.map((r) => {
      const verdicts = counts.get(r.id) ?? { in: 0, out: 0, unsure: 0 };
      return { ...r, verdicts, checks: verdicts.in + verdicts.out + verdicts.unsure };
    });
  }

  /** How many of a run's checks are in, out and unsure. */
  async verdicts(id: number): Promise<Readonly<Record<Verdict, number>>> {
    return (await this.#verdicts([id])).get(id) ?? { in: 0, out: 0, unsure: 0 };
  }

  /** Hides the run and its checks; their pictures may then be taken in again. */
  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("run", id);
  }

  async #verdicts(runIds: number[]): Promise<Map<number, Record<Verdict, number>>> {
    const counts = new Map<number, Record<Verdict, number>>();
    if (runIds.length === 0) return counts;
    const rows = await this.#context.db.selectFrom("checks").select((e) => ["run_id", "verdict", e.fn.countAll<number>().as("n")])
      .where("run_id", "in", runIds).where("deleted_at", "is", null).groupBy(["run_id", "verdict"]).execute();
    for (const { run_id, verdict, n } of rows) {
      const of = counts.get(run_id) ?? { in: 0, out: 0, unsure: 0 };
      of[verdict as Verdict] = n;
      counts.set(run_id, of);
    }
    return counts;
  }
}
