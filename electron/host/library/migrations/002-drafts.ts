import { sql, type Kysely } from "kysely";

/** Jobs being worked on: one draft a job, kept as it is typed; a version is made of it when it is kept or checked with. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql.raw(`create table job_drafts (
    job_id integer primary key references jobs (id), name text not null, json text not null check (json_valid(json)), changed_at text not null)`).execute(db);
}
