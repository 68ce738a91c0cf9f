import { sql, type Kysely } from "kysely";

/** What the shop states for a run and for a job: the rows that the control limits come from, and its own words for the cutter's axes. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql.raw("alter table runs add column baseline_from integer check (baseline_from >= 1)").execute(db);
  await sql.raw("alter table runs add column baseline_to integer check (baseline_to > baseline_from)").execute(db);
  await sql.raw("alter table jobs add column axes text check (axes is null or json_valid(axes))").execute(db);
}
