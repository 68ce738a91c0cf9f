import { z } from "zod";
import { cutSchema, jobSchema } from "../../../core/job/schema.ts";
import { LibraryFault, notFound } from "./faults.ts";
import type { Jobs, JobVersion } from "./jobs.ts";
import type { Context } from "./library.ts";

/** A job being made: everything of a job file, but it may have no cut yet. */
export const draftSchema = jobSchema.extend({ cuts: z.array(cutSchema) });
export type DraftJob = z.infer<typeof draftSchema>;

export interface JobEntry {
  readonly id: number;
  /** The job file's own id. */
  readonly job: string;
  readonly name: string;
  /** Kept versions; 0 for a job that is only a draft. */
  readonly versions: number;
  readonly runs: number;
  /** When it was last changed: its draft, else its latest version. */
  readonly changedAt: string;
  /** There is a draft that differs from the latest version. */
  readonly draft: boolean;
}

export interface VersionEntry {
  readonly id: number;
  readonly version: number;
  readonly name: string;
  readonly madeAt: string;
  /** Runs measured with this version. */
  readonly runs: number;
}

export interface JobPage {
  readonly id: number;
  readonly job: string;
  /** The draft, else the latest version. */
  readonly content: DraftJob;
  readonly draft: boolean;
  /** The latest first. */
  readonly versions: readonly VersionEntry[];
}

/** Jobs as they are written: one draft each beside its kept versions. A version never changes; a draft is replaced by every save. */
export class Drafts {
  readonly #context: Context;
  readonly #jobs: Jobs;

  constructor(context: Context, jobs: Jobs) {
    this.#context = context;
    this.#jobs = jobs;
  }

  /** Every job with a version or a draft, the last changed first. */
  async list(): Promise<JobEntry[]> {
    const { db } = this.#context;
    const jobs = await db.selectFrom("jobs").select(["id", "job"]).where("deleted_at", "is", null).execute();
    const versions = await db.selectFrom("job_versions").select(["job_id", "version", "name", "made_at"]).orderBy("version").execute();
    const drafts = await db.selectFrom("job_drafts").select(["job_id", "name", "changed_at"]).execute();
    const runs = await db.selectFrom("runs").innerJoin("job_versions as v", "v.id", "runs.job_version_id").select((e) => ["v.job_id", e.fn.countAll<number>().as("n")])
      .where("runs.deleted_at", "is", null).groupBy("v.job_id").execute();
    const [latest, draftOf, runsOf] = [new Map(versions.map((v) => [v.job_id, v])), new Map(drafts.map((d) => [d.job_id, d])), new Map(runs.map((r) => [r.job_id, Number(r.n)]))];
    return jobs.flatMap(({ id, job }): JobEntry[] => {
      const [kept, draft] = [latest.get(id), draftOf.get(id)];
      if (!kept && !draft) return [];
      return [{
        id, job, name: draft?.name ?? kept?.name ?? job, versions: kept?.version ?? 0, runs: runsOf.get(id) ?? 0,
        changedAt: draft?.changed_at ?? kept?.made_at ?? "", draft: draft !== undefined,
      }];
    }).sort((a, b) => b.changedAt.localeCompare(a.changedAt) || b.id - a.id);
  }

  /** @throws LibraryFault "not-found" */
  async page(id: number): Promise<JobPage> {
    const { db } = this.#context;
    const row = await db.selectFrom("jobs").select(["id", "job"]).where("id", "=", id).where("deleted_at", "is", null).executeTakeFirst();
    const draft = await db.selectFrom("job_drafts").select("json").where("job_id", "=", id).executeTakeFirst();
    const versions = await this.#versions(id);
    if (!row || (!draft && versions.length === 0)) throw notFound("job", id);
    const content = draft ? draftSchema.parse(JSON.parse(draft.json)) : (await this.#jobs.version(versions[0].id)).job;
    return { id, job: row.job, content, draft: draft !== undefined, versions };
  }

  async #versions(id: number): Promise<VersionEntry[]> {
    const rows = await this.#context.db.selectFrom("job_versions as v")
      .select((e) => ["v.id", "v.version", "v.name", "v.made_at as madeAt",
        e.selectFrom("runs").select((s) => s.fn.countAll<number>().as("n")).whereRef("runs.job_version_id", "=", "v.id").where("runs.deleted_at", "is", null).as("runs")])
      .where("v.job_id", "=", id).orderBy("v.version", "desc").execute();
    return rows.map((r) => ({ ...r, runs: Number(r.runs ?? 0) }));
  }

  /** Begins a job with a draft. Where its id is taken (also by a removed job) it gets the next free one: TRAY-7-2. Returns the job's number. */
  async create(content: DraftJob): Promise<number> {
    return this.#context.db.transaction().execute(async (t) => {
      const taken = new Set((await t.selectFrom("jobs").select("job").execute()).map((r) => r.job));
      const job = freeId(content.id, taken);
      const now = this.#context.now().toISOString();
      const { id } = await t.insertInto("jobs").values({ job, made_at: now, deleted_at: null }).returning("id").executeTakeFirstOrThrow();
      const json = JSON.stringify({ ...content, id: job });
      await t.insertInto("job_drafts").values({ job_id: id, name: content.name, json, changed_at: now }).execute();
      return id;
    });
  }

  /**
   * Saves the draft. The id may change while no version has been kept; after that it names the job's runs and printed codes.
   * @throws LibraryFault "conflict" where another job has the id, "invalid" where it may not change, "not-found"
   */
  async save(id: number, content: DraftJob): Promise<void> {
    await this.#context.db.transaction().execute(async (t) => {
      const row = await t.selectFrom("jobs").select("job").where("id", "=", id).where("deleted_at", "is", null).executeTakeFirst();
      if (!row) throw notFound("job", id);
      if (content.id !== row.job) {
        const kept = await t.selectFrom("job_versions").select("id").where("job_id", "=", id).executeTakeFirst();
        if (kept) throw new LibraryFault("invalid", `The id of this job stays ${row.job}: its runs and printed codes go by it.`, "Duplicate the job to have it under another id.");
        const other = await t.selectFrom("jobs").select("id").where("job", "=", content.id).executeTakeFirst();
        if (other) throw new LibraryFault("conflict", `Another job, perhaps a removed one, has the id ${content.id}.`, "Choose another id.");
        await t.updateTable("jobs").set({ job: content.id }).where("id", "=", id).execute();
      }
      const values = { name: content.name, json: JSON.stringify(content), changed_at: this.#context.now().toISOString() };
      await t.insertInto("job_drafts").values({ job_id: id, ...values }).onConflict((c) => c.column("job_id").doUpdateSet(values)).execute();
    });
  }

  /** Keeps the draft as a version (the same one where its content is known); the draft is then no more. @throws LibraryFault "not-found" */
  async keep(id: number): Promise<JobVersion> {
    const { content } = await this.page(id);
    const version = await this.#jobs.put(jobSchema.parse(content));
    await this.#context.db.deleteFrom("job_drafts").where("job_id", "=", id).execute();
    return version;
  }

  /** The number of the job with this id of its file, and whether it has a draft; null where there is none. */
  async find(job: string): Promise<{ id: number; draft: boolean } | null> {
    const row = await this.#context.db.selectFrom("jobs").leftJoin("job_drafts as d", "d.job_id", "jobs.id").select(["jobs.id", "d.job_id as draft"])
      .where("jobs.job", "=", job).where("jobs.deleted_at", "is", null).executeTakeFirst();
    return row ? { id: row.id, draft: row.draft !== null } : null;
  }
}

/** The id itself, or with the first number from 2 that makes it free; at most 64 characters as the job file allows. */
function freeId(wanted: string, taken: ReadonlySet<string>): string {
  let id = wanted;
  for (let n = 2; taken.has(id); n++) id = `${wanted.slice(0, 58)}-${n}`;
  return id;
}
