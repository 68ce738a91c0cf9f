import { inflateRawSync } from "node:zlib";
import Papa from "papaparse";
import { openExisting } from "./verify.ts";

/** The tables in the order in which they refer to each other. */
const TABLES = [
  "jobs", "job_versions", "job_drafts", "tools", "runs", "pictures", "checks", "check_records", "events", "dispositions", "tray", "presets", "profiles", "settings", "deletions",
] as const;

/** Columns that hold JSON text. */
const JSON_COLUMNS: ReadonlySet<string> = new Set(["json", "record", "detail"]);

/**
 * Everything in the library as JSON lines, `{"table": ..., "row": {...}}`, deleted entries included (their `deleted_at` says so): the state of
 * one moment, whoever is writing meanwhile. @throws LibraryFault
 */
export function* exportJsonLines(folder: string): Generator<string> {
  const { raw } = openExisting(folder);
  try {
    raw.exec("begin");
    for (const table of TABLES) {
      for (const row of raw.prepare(`select * from ${table}`).iterate() as IterableIterator<Record<string, unknown>>) {
        yield `${JSON.stringify({ table, row: Object.fromEntries(Object.entries(row).map(([k, v]) => [k, readable(k, v)])) })}\n`;
      }
    }
  } finally {
    raw.close();
  }
}

function readable(column: string, value: unknown): unknown {
  if (Buffer.isBuffer(value)) return JSON.parse(inflateRawSync(value).toString("utf8"));
  return typeof value === "string" && JSON_COLUMNS.has(column) ? JSON.parse(value) : value;
}

/** The checks that count, one per line, as CSV (RFC 4180) with a header; of one run where `runId` is given. @throws LibraryFault */
export function* exportCsv(folder: string, runId?: number): Generator<string> {
  const { raw } = openExisting(folder);
  try {
    const statement = raw.prepare(`
      select c.run_id as run, r.name as run_name, j.job, v.version as job_version, c.sheet, c.taken_at, c.recut, c.image, c.verdict,
        c.worst, c.worst_u as worst_U, c.worst_feature, c.offset_x, c.offset_y, c.offset_length, c.offset_u as offset_U, c.rotation, c.rotation_u as rotation_U,
        c.skew, c.skew_u as skew_U, c.scale_x, c.scale_y, c.scale_u as scale_U, c.crease, c.crease_u as crease_U,
        (select decision from dispositions d where d.run_id = c.run_id and d.sheet = c.sheet and d.deleted_at is null order by d.id desc limit 1) as decision,
        c.picture as sha256
      from checks c join runs r on r.id = c.run_id join job_versions v on v.id = c.job_version_id join jobs j on j.id = v.job_id
      where c.deleted_at is null and r.deleted_at is null and (:run is null or c.run_id = :run)
      order by c.run_id, c.place, c.taken_at, c.id`);
    yield `${statement.columns().map((c) => c.name).join(",")}\r\n`;
    for (const row of statement.raw().iterate({ run: runId ?? null }) as IterableIterator<unknown[]>) yield `${Papa.unparse([row], { escapeFormulae: true })}\r\n`;
  } finally {
    raw.close();
  }
}
