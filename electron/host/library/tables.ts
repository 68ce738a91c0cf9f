import type { Generated } from "kysely";

/**
 * The tables as the last migration leaves them. Times are ISO 8601 text: `*_at` in UTC by this computer's clock; `taken_at` in
 * local time without a zone, as cameras write it. Lengths are mm, rotation, skew and scale mm/m, with the signs of the check record.
 * `deleted_at` is null for what counts: nothing is removed, so that every deletion can be undone.
 */
export interface Tables {
  jobs: JobsTable;
  job_versions: JobVersionsTable;
  job_drafts: JobDraftsTable;
  tools: ToolsTable;
  runs: RunsTable;
  pictures: PicturesTable;
  checks: ChecksTable;
  check_records: CheckRecordsTable;
  events: EventsTable;
  dispositions: DispositionsTable;
  tray: TrayTable;
  files_seen: FilesSeenTable;
  presets: PresetsTable;
  profiles: ProfilesTable;
  settings: SettingsTable;
  deletions: DeletionsTable;
}

interface Deletable {
  deleted_at: string | null;
}

interface JobsTable extends Deletable {
  id: Generated<number>;
  /** The job file's own id. */
  job: string;
  made_at: string;
  /** The shop's words for the cutter's axes, JSON; null for the usual ones. */
  axes: string | null;
}

interface JobVersionsTable {
  id: Generated<number>;
  job_id: number;
  /** 1, 2, ... */
  version: number;
  name: string;
  /** SHA-256 of the job's canonical JSON: the same content is the same version. */
  sha256: string;
  json: string;
  cut_length: number;
  crease_length: number;
  made_at: string;
}

interface JobDraftsTable {
  job_id: number;
  name: string;
  /** A job as far as it has been written: it may lack marks or cuts. */
  json: string;
  changed_at: string;
}

interface ToolsTable extends Deletable {
  id: Generated<number>;
  /** Its identity: typed, or read from the code on the tool. */
  code: string;
  name: string;
  kind: string;
  /** Metres cut before this library knew it. */
  metres_before: number;
  note: string;
  made_at: string;
}

interface RunsTable extends Deletable {
  id: Generated<number>;
  job_version_id: number;
  name: string;
  /** Sheets in the stack, where known. */
  sheets: number | null;
  tool_id: number | null;
  note: string;
  started_at: string;
  finished_at: string | null;
  /** The rows that the control limits come from; null for the usual ones. */
  baseline_from: number | null;
  baseline_to: number | null;
}

interface PicturesTable {
  sha256: string;
  path: string;
  /** Whether the file is the library's own copy. */
  copied: number;
  bytes: number;
}

interface ChecksTable extends Deletable {
  id: Generated<number>;
  run_id: number;
  job_version_id: number;
  picture: string;
  image: string;
  sheet: string | null;
  sheet_number: number | null;
  /** Where the check stands in its run: the sheet number, and after all of those the checks without one. */
  place: number;
  taken_at: string;
  /** How often the sheet had been cut again before this check. */
  recut: number;
  verdict: string;
  offset_x: number;
  offset_y: number;
  offset_length: number;
  offset_u: number;
  rotation: number;
  rotation_u: number;
  skew: number;
  skew_u: number;
  scale_x: number;
  scale_y: number;
  scale_u: number;
  worst: number;
  worst_u: number;
  worst_feature: string;
  crease: number | null;
  crease_u: number | null;
  added_at: string;
}

interface CheckRecordsTable {
  check_id: number;
  /** 1 = as first measured; the highest one counts. */
  revision: number;
  /** The whole check record, JSON. */
  record: string;
  /** The overlay, JSON deflated (RFC 1951); null where the measurement gave none. */
  overlay: Buffer | null;
  job_version_id: number;
  made_at: string;
}

interface EventsTable extends Deletable {
  id: Generated<number>;
  run_id: number;
  kind: string;
  /** It happened before this sheet was cut; null where only the time is known. */
  sheet_number: number | null;
  happened_at: string;
  tool_id: number | null;
  /** JSON of what the kind asks for. */
  detail: string;
  who: string;
  note: string;
  made_at: string;
}

interface DispositionsTable extends Deletable {
  id: Generated<number>;
  run_id: number;
  sheet: string;
  /** accept, re-cut, reprint, scrap, concession; aside: set aside, not yet decided. */
  decision: string;
  who: string;
  why: string;
  /** Entries made by one action carry the same number. */
  batch: number;
  made_at: string;
}

interface TrayTable extends Deletable {
  id: Generated<number>;
  picture: string;
  image: string;
  code: string;
  message: string;
  hint: string;
  /** The refused check record where there is one, JSON. */
  record: string | null;
  job: string | null;
  sheet: string | null;
  taken_at: string;
  arrived_at: string;
  /** measured, dismissed; null = still lies there. */
  outcome: string | null;
  settled_at: string | null;
}

interface FilesSeenTable {
  path: string;
  bytes: number;
  modified_ms: number;
  picture: string;
}

interface PresetsTable extends Deletable {
  id: Generated<number>;
  name: string;
  json: string;
  made_at: string;
}

interface ProfilesTable extends Deletable {
  id: Generated<number>;
  name: string;
  json: string;
  made_at: string;
}

interface SettingsTable {
  key: string;
  json: string;
}

interface DeletionsTable {
  id: Generated<number>;
  subject: string;
  subject_id: number;
  made_at: string;
  undone_at: string | null;
}
