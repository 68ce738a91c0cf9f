import { sql, type Kysely } from "kysely";

/** The tables of the first library; see tables.ts for what the columns mean. Never edited once released: a change is a new migration. */
export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of STATEMENTS) await sql.raw(statement).execute(db);
}

const STATEMENTS = [
  `create table jobs (
    id integer primary key, job text not null unique, made_at text not null, deleted_at text)`,

  `create table job_versions (
    id integer primary key, job_id integer not null references jobs (id), version integer not null, name text not null,
    sha256 text not null, json text not null check (json_valid(json)),
    cut_length real not null check (cut_length >= 0), crease_length real not null check (crease_length >= 0), made_at text not null,
    unique (job_id, version), unique (job_id, sha256))`,

  `create table tools (
    id integer primary key, code text not null, name text not null, kind text not null check (kind in ('blade', 'crease', 'other')),
    metres_before real not null default 0 check (metres_before >= 0), note text not null default '', made_at text not null, deleted_at text)`,
  `create unique index tools_by_code on tools (code) where deleted_at is null`,

  `create table runs (
    id integer primary key, job_version_id integer not null references job_versions (id), name text not null,
    sheets integer check (sheets > 0), tool_id integer references tools (id), note text not null default '',
    started_at text not null, finished_at text, deleted_at text)`,
  `create index runs_by_job_version on runs (job_version_id)`,

  `create table pictures (
    sha256 text primary key check (length(sha256) = 64), path text not null, copied integer not null check (copied in (0, 1)),
    bytes integer not null) without rowid`,

  `create table checks (
    id integer primary key, run_id integer not null references runs (id), job_version_id integer not null references job_versions (id),
    picture text not null references pictures (sha256), image text not null,
    sheet text, sheet_number integer, place integer not null, taken_at text not null, recut integer not null default 0,
    verdict text not null check (verdict in ('in', 'out', 'unsure')),
    offset_x real not null, offset_y real not null, offset_length real not null, offset_u real not null,
    rotation real not null, rotation_u real not null, skew real not null, skew_u real not null,
    scale_x real not null, scale_y real not null, scale_u real not null,
    worst real not null, worst_u real not null, worst_feature text not null, crease real, crease_u real,
    added_at text not null, deleted_at text)`,
  // The same picture counts once in a run, whoever takes it in and however often.
  `create unique index checks_by_picture on checks (picture, run_id) where deleted_at is null`,
  `create index checks_in_order on checks (run_id, place, taken_at, id, verdict) where deleted_at is null`,

  `create table check_records (
    check_id integer not null references checks (id), revision integer not null, record text not null check (json_valid(record)),
    overlay blob, job_version_id integer not null references job_versions (id), made_at text not null, primary key (check_id, revision)) without rowid`,

  `create table events (
    id integer primary key, run_id integer not null references runs (id),
    kind text not null check (kind in ('tool-changed', 'pallet-changed', 'restart', 'correction', 'material-lot', 'humidity', 'note')),
    sheet_number integer, happened_at text not null, tool_id integer references tools (id), detail text not null check (json_valid(detail)),
    who text not null, note text not null, made_at text not null, deleted_at text)`,
  `create index events_by_run on events (run_id)`,
  `create index events_by_tool on events (tool_id) where tool_id is not null`,

  `create table dispositions (
    id integer primary key, run_id integer not null references runs (id), sheet text not null,
    decision text not null check (decision in ('aside', 'accept', 're-cut', 'reprint', 'scrap', 'concession')),
    who text not null, why text not null, batch integer not null, made_at text not null, deleted_at text)`,
  `create index dispositions_by_sheet on dispositions (run_id, sheet, id) where deleted_at is null`,
  `create index dispositions_by_batch on dispositions (batch)`,

  `create table tray (
    id integer primary key, picture text not null references pictures (sha256), image text not null,
    code text not null, message text not null, hint text not null, record text check (record is null or json_valid(record)),
    job text, sheet text, taken_at text not null, arrived_at text not null,
    outcome text check (outcome in ('measured', 'dismissed')), settled_at text, deleted_at text)`,
  `create unique index tray_by_picture on tray (picture) where outcome is null and deleted_at is null`,
  `create index tray_lying on tray (id) where outcome is null and deleted_at is null`,

  `create table files_seen (
    path text primary key, bytes integer not null, modified_ms real not null, picture text not null references pictures (sha256)) without rowid`,

  `create table presets (
    id integer primary key, name text not null, json text not null check (json_valid(json)), made_at text not null, deleted_at text)`,
  `create unique index presets_by_name on presets (name) where deleted_at is null`,

  `create table profiles (
    id integer primary key, name text not null, json text not null check (json_valid(json)), made_at text not null, deleted_at text)`,
  `create unique index profiles_by_name on profiles (name) where deleted_at is null`,

  `create table settings (key text primary key, json text not null check (json_valid(json))) without rowid`,

  `create table deletions (
    id integer primary key, subject text not null, subject_id integer not null, made_at text not null, undone_at text)`,
];
