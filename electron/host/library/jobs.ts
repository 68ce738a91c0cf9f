import { createHash } from "node:crypto";
import { flattenCut } from "../../../core/job/paths.ts";
import { jobSchema, type Job } from "../../../core/job/schema.ts";
import type { AxisWords } from "../../../core/trend/advice.ts";
import type { Deletion, Deletions } from "./deletions.ts";
import { notFound } from "./faults.ts";
import type { Context } from "./library.ts";

/** A job as it was when something was measured against it. */
export interface JobVersion {
  readonly id: number;
  readonly jobId: number;
  /** 1, 2, ... */
  readonly version: number;
  readonly job: Job;
  /** Length of the cuts and of the creases of one sheet, mm. */
  readonly cutLength: number;
  readonly creaseLength: number;
  readonly madeAt: string;
}

export interface JobSummary {
  readonly id: number;
  /** The job file's own id and name, as of the latest version. */
  readonly job: string;
  readonly name: string;
  readonly versions: number;
  readonly latestVersionId: number;
  readonly runs: number;
}

/** Jobs and their versions. A version never changes: what was measured can always be read against the job of its day. */
export class Jobs {
  readonly #context: Context;
  readonly #deletions: Deletions;

  constructor(context: Context, deletions: Deletions) {
    this.#context = context;
    this.#deletions = deletions;
  }

  /** Keeps the job: as it is where the same content is known (and its version is returned), else as a new version of its id. A deleted job comes back. */
  async put(job: Job): Promise<JobVersion> {
    const json = canonicalJson(job);
    const sha256 = createHash("sha256").update(json).digest("hex");
    const made_at = this.#context.now().toISOString();
    const versionId = await this.#context.db.transaction().execute(async (t) => {
      const { id: job_id } = await t.insertInto("jobs").values({ job: job.id, made_at, axes: null, deleted_at: null })
        .onConflict((c) => c.column("job").doUpdateSet({ deleted_at: null })).returning("id").executeTakeFirstOrThrow();
      const versions = await t.selectFrom("job_versions").select(["id", "version", "sha256"]).where("job_id", "=", job_id).execute();
      const same = versions.find((v) => v.sha256 === sha256);
      if (same) return same.id;
      const version = 1 + Math.max(0, ...versions.map((v) => v.version));
      const lengths = { cut_length: lengthOf(job, "cut"), crease_length: lengthOf(job, "crease") };
      const row = await t.insertInto("job_versions").values({ job_id, version, name: job.name, sha256, json, ...lengths, made_at })
        .returning("id").executeTakeFirstOrThrow();
      return row.id;
    });
    return this.version(versionId);
  }

  /** @throws LibraryFault "not-found" */
  async version(id: number): Promise<JobVersion> {
    const row = await this.#context.db.selectFrom("job_versions").selectAll().where("id", "=", id).executeTakeFirst();
    if (!row) throw notFound("job version", id);
    return {
      id: row.id, jobId: row.job_id, version: row.version, job: jobSchema.parse(JSON.parse(row.json)),
      cutLength: row.cut_length, creaseLength: row.crease_length, madeAt: row.made_at,
    };
  }

  /** All versions of a job, the latest first. */
  async versions(jobId: number): Promise<JobVersion[]> {
    const rows = await this.#context.db.selectFrom("job_versions").select("id").where("job_id", "=", jobId).orderBy("version", "desc").execute();
    return Promise.all(rows.map((r) => this.version(r.id)));
  }

  /** The latest version of the job with this id of its file; null where there is none. */
  async latest(job: string): Promise<JobVersion | null> {
    const row = await this.#context.db.selectFrom("job_versions").innerJoin("jobs", "jobs.id", "job_versions.job_id").select("job_versions.id")
      .where("jobs.job", "=", job).where("jobs.deleted_at", "is", null).orderBy("version", "desc").limit(1).executeTakeFirst();
    return row ? this.version(row.id) : null;
  }

  /** All jobs, the last changed first. */
  async list(): Promise<JobSummary[]> {
    const rows = await this.#context.db.selectFrom("jobs")
      .innerJoin("job_versions", (j) => j.onRef("job_versions.job_id", "=", "jobs.id"))
      .select((e) => ["jobs.id", "jobs.job", "job_versions.id as latestVersionId", "job_versions.name", "job_versions.version as versions",
        e.selectFrom("runs").innerJoin("job_versions as v", "v.id", "runs.job_version_id").select((s) => s.fn.countAll<number>().as("n"))
          .whereRef("v.job_id", "=", "jobs.id").where("runs.deleted_at", "is", null).as("runs")])
      .where("jobs.deleted_at", "is", null)
      .where((e) => e("job_versions.version", "=", e.selectFrom("job_versions as w").select((s) => s.fn.max("w.version").as("m")).whereRef("w.job_id", "=", "jobs.id")))
      .orderBy("job_versions.id", "desc").execute();
    return rows.map((r) => ({ ...r, runs: r.runs ?? 0 }));
  }

  /** The shop's words for the cutter's axes at this job; null where it has none of its own. */
  async axes(jobId: number): Promise<AxisWords | null> {
    const row = await this.#context.db.selectFrom("jobs").select("axes").where("id", "=", jobId).executeTakeFirst();
    return row?.axes ? (JSON.parse(row.axes) as AxisWords) : null;
  }

  /** Null gives the usual words back. @throws LibraryFault "not-found" */
  async setAxes(jobId: number, axes: AxisWords | null): Promise<void> {
    const { numUpdatedRows } = await this.#context.db.updateTable("jobs").set({ axes: axes && JSON.stringify(axes) }).where("id", "=", jobId).executeTakeFirstOrThrow();
    if (numUpdatedRows === 0n) throw notFound("job", jobId);
  }

  /** Hides the job from the list; its runs stay. */
  delete(id: number): Promise<Deletion> {
    return this.#deletions.delete("job", id);
  }
}

/** Length of all paths of one kind, mm. */
function lengthOf(job: Job, kind: "cut" | "crease"): number {
  return job.cuts.filter((c) => c.kind === kind).flatMap((c) => flattenCut(c)).reduce((sum, part) => sum + part.length, 0);
}

/** JSON with the keys of every object in order, so that the same content is the same text. */
function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, v: unknown) =>
    v !== null && typeof v === "object" && !Array.isArray(v) ? Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1))) : v);
}
