import { statSync } from "node:fs";
import { basename, resolve } from "node:path";
import type { CheckOutcome, Measured } from "../../../core/check/record.ts";
import type { JobVersion } from "../library/jobs.ts";
import type { Library } from "../library/library.ts";
import type { KeptPicture } from "../library/pictures.ts";
import { LibraryFault } from "../library/faults.ts";
import type { TrayEntry, TrayReason } from "../library/tray.ts";
import { localTime } from "../localTime.ts";
import type { MeasurePool } from "../measure/pool.ts";
import { originOf } from "../pictures/exif.ts";
import type { Profile } from "../../../core/camera/profile.ts";

/** What became of a picture file. `known`: its content counts already; `changed`: it was written to while it was measured, and will come again. */
export type Taken =
  | { readonly kind: "check"; readonly file: string; readonly checkId: number; readonly runId: number; readonly record: Measured }
  | { readonly kind: "tray"; readonly file: string; readonly trayId: number; readonly reason: TrayReason }
  | { readonly kind: "known" | "changed" | "gone"; readonly file: string };

/** Whatever measures pictures: the worker pool in the program, a stand-in in tests. */
export type Measuring = Pick<MeasurePool, "sort" | "workers">;

export interface TakeInOptions {
  /** The jobs that may be in the stack. */
  readonly jobs: readonly JobVersion[];
  readonly profile?: Profile;
  /** Numbers for sheets that carry none: the first one, and the step from one checked sheet to the next (default 1). */
  readonly numbering?: { readonly first: number; readonly step?: number };
  readonly signal?: AbortSignal;
}

/** A picture that has been measured and not yet entered. */
export interface Sighted {
  readonly file: string;
  readonly image: string;
  readonly picture: KeptPicture;
  readonly takenAt: string;
  readonly sorted: Sorted;
}

type Sorted = { readonly version: JobVersion; readonly outcome: CheckOutcome & { readonly record: Measured } } | { readonly reason: TrayReason; readonly outcome?: CheckOutcome };

/** Reads and measures a picture file, without entering anything. @throws LibraryFault where the library cannot keep its copy; AbortError */
export async function sight(library: Library, measuring: Measuring, file: string, options: TakeInOptions): Promise<Sighted | Taken> {
  const before = stampOf(file);
  if (before === null) return { kind: "gone", file };
  const seen = await library.pictures.seen(file);
  if (seen && (await library.pictures.isTaken(seen))) return { kind: "known", file };
  const picture = await library.pictures.keep(file);
  if (await library.pictures.isTaken(picture.sha256)) return { kind: "known", file };
  const sorted = await sortByJob(measuring, picture.path, basename(file), options);
  if (stampOf(file) !== before) return { kind: stampOf(file) === null ? "gone" : "changed", file };
  return { file, image: basename(file), picture, takenAt: await captureTime(file), sorted };
}

/** Enters what was sighted: a check in the open run of its job (a new run where none is open), or the tray. On the disk when this returns. @throws LibraryFault */
export async function enter(library: Library, { file, image, picture, takenAt, sorted }: Sighted, { numbering }: Pick<TakeInOptions, "numbering">): Promise<Taken> {
  if (await library.pictures.isTaken(picture.sha256)) return { kind: "known", file };
  if ("reason" in sorted) {
    const record = sorted.outcome?.record.status === "refused" ? sorted.outcome.record : undefined;
    const { id } = await library.tray.add({ picture, image, reason: sorted.reason, record, job: record?.job, takenAt, file });
    return { kind: "tray", file, trayId: id, reason: sorted.reason };
  }
  const { version, outcome } = sorted;
  const run = await library.runs.openOrStart(version.id);
  const sheet = outcome.record.sheet === undefined && numbering ? await nextNumber(library, run.id, numbering) : undefined;
  const { id, added } = await library.checks.add({ runId: run.id, jobVersionId: version.id, picture, outcome, takenAt, file, sheet });
  return added ? { kind: "check", file, checkId: id, runId: run.id, record: outcome.record } : { kind: "known", file };
}

/**
 * Measures a picture of the tray again, against the jobs given, and enters it where that succeeds; else it stays with its newer reason. `sheet`: the operator's number, where
 * the sheet carries none. @throws LibraryFault
 */
export async function takeFromTray(library: Library, measuring: Measuring, entry: TrayEntry, { sheet, ...options }: TakeInOptions & { readonly sheet?: string }): Promise<Taken> {
  const file = entry.path;
  const picture = await library.pictures.find(entry.picture);
  if (!picture || stampOf(file) === null) throw new LibraryFault("missing", `The picture is no longer where it was: ${file}.`, "Put the file back, or put the picture aside.");
  const sorted = await sortByJob(measuring, file, entry.image, options);
  const { image, takenAt } = entry;
  if ("reason" in sorted) {
    const record = sorted.outcome?.record.status === "refused" ? sorted.outcome.record : undefined;
    await library.tray.add({ picture, image, reason: sorted.reason, record, job: record?.job, takenAt });
    return { kind: "tray", file, trayId: entry.id, reason: sorted.reason };
  }
  const { version, outcome } = sorted;
  const run = await library.runs.openOrStart(version.id);
  const { id } = await library.checks.add({ runId: run.id, jobVersionId: version.id, picture, outcome, takenAt, sheet });
  return { kind: "check", file, checkId: id, runId: run.id, record: outcome.record };
}

/**
 * Which of the jobs the picture shows. A sheet whose code was read is of that job. A sheet without one is of the only job it can be measured
 * against; where it fits two, it is left to people: a guess would spoil a run.
 */
async function sortByJob(measuring: Measuring, path: string, name: string, { jobs, profile, signal }: TakeInOptions): Promise<Sorted> {
  if (jobs.length === 0) return { reason: { code: "no-job", message: "No job was given that the sheet could belong to.", hint: "Name the job, then take the picture in again from the tray." } };
  const fits: { version: JobVersion; outcome: CheckOutcome & { record: Measured } }[] = [];
  const refusals: CheckOutcome[] = [];
  for (const { job, outcome: { record, ...rest } } of await measuring.sort({ image: path, name, jobs: jobs.map((v) => v.job), profile, signal })) {
    if (record.status === "refused") refusals.push({ record, ...rest });
    else if (record.sheet !== undefined) return { version: jobs[job], outcome: { record, ...rest } };
    else fits.push({ version: jobs[job], outcome: { record, ...rest } });
  }
  if (fits.length === 1) return fits[0];
  if (fits.length > 1) {
    const names = fits.map((f) => `"${f.version.job.id}"`).join(" and ");
    return { reason: { code: "marks-ambiguous", message: `The sheet carries no code that could be read, and fits the jobs ${names}.`, hint: "Enter it in its run by hand, or watch with one job only." } };
  }
  return jobs.length === 1 ? { reason: refusalOf(refusals[0]), outcome: refusals[0] } : noJobFits(refusals, jobs);
}

function noJobFits(refusals: readonly CheckOutcome[], jobs: readonly JobVersion[]): Sorted {
  // A job that got as far as being recognised says more than those whose marks are not on the sheet.
  const telling = refusals.find((r) => r.record.status === "refused" && !["wrong-job", "marks-not-found"].includes(r.record.refusal.code));
  if (telling) return { reason: refusalOf(telling), outcome: telling };
  const names = jobs.map((j) => `"${j.job.id}"`).join(", ");
  return { reason: { code: "no-job", message: `The sheet fits none of the jobs ${names}.`, hint: "Name its job too, or take the picture again with all marks in it." }, outcome: refusals[0] };
}

function refusalOf({ record }: CheckOutcome): TrayReason {
  if (record.status !== "refused") throw new TypeError("A measured sheet has no refusal.");
  return record.refusal;
}

/** The number after the highest one of the run; the first one where the run has none yet. */
async function nextNumber(library: Library, runId: number, { first, step = 1 }: { first: number; step?: number }): Promise<string> {
  const highest = await library.checks.highestSheet(runId);
  return String(highest === null || highest < first ? first : highest + step);
}

/** Capture time as the picture states it, else when its file was last written; local time without a zone. */
async function captureTime(file: string): Promise<string> {
  const stated = (await originOf(resolve(file))).exif?.takenAt;
  if (stated) return stated;
  return localTime(statSync(file).mtime, "millisecond");
}

/** Size and time of the last change; null where there is no such file. */
function stampOf(file: string): string | null {
  const status = statSync(file, { throwIfNoEntry: false });
  return status?.isFile() ? `${status.size}:${status.mtimeMs}` : null;
}
