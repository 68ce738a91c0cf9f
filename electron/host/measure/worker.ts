import { workerData } from "piscina";
import sharp from "sharp";
import type { Profile } from "../../../core/camera/profile.ts";
import { checkWhichJob, type JobOutcome } from "../../../core/check/whichJob.ts";
import { previewSheet, type SheetPreview } from "../../../core/check/preview.ts";
import type { CheckOutcome, CheckRecord } from "../../../core/check/record.ts";
import type { Picture } from "../../../core/image/picture.ts";
import type { Job } from "../../../core/job/schema.ts";
import { decodePicture } from "../pictures/decode.ts";
import { PictureFault } from "../pictures/fault.ts";
import { refusedOutcome } from "./refused.ts";

/** What crosses to a worker: a path or the file's bytes. Pixels never cross; they are decoded where they are measured. */
export interface MeasureTask {
  readonly image: string | Uint8Array;
  readonly name: string;
  readonly job: Job;
  readonly profile?: Profile;
  readonly maxPixels?: number;
}

/** A picture and the jobs that it may show. */
export interface SortTask extends Omit<MeasureTask, "job"> {
  readonly jobs: readonly Job[];
}

/** A frame of a live picture, and the job it is aimed by. */
export interface PreviewTask {
  readonly image: Uint8Array;
  readonly job: Job;
}

sharp.concurrency((workerData as { decoderThreads: number }).decoderThreads);
sharp.cache(false);

/** Decodes and measures one picture. An unreadable picture is a refused record; anything else thrown is a fault of the program. */
export default async function measure({ job, ...task }: MeasureTask): Promise<CheckOutcome> {
  return (await sort({ ...task, jobs: [job] }))[0].outcome;
}

/** Decodes a picture once and checks it against the jobs that it may show; see `checkWhichJob`. At least one job must be given. */
export async function sort({ image, name, jobs, profile, maxPixels }: SortTask): Promise<JobOutcome[]> {
  const picture = await decodePicture(image, { maxPixels }).catch((error: unknown) => {
    if (error instanceof PictureFault) return error;
    throw error;
  });
  if (picture instanceof PictureFault) return [{ job: 0, outcome: refusedOutcome(name, jobs[0].id, picture.refusal) }];
  try {
    return checkWhichJob(picture, jobs, { image: name, profile }).map(({ job, outcome: { record, overlay } }) => (
      { job, outcome: { record: { ...withProfile(record, profile), warnings: [...picture.warnings, ...record.warnings] }, overlay } }));
  } finally {
    giveBack(picture);
  }
}

/**
 * Gives a picture's memory back at once; nobody may look at its pixels any more. Left to the garbage collector, so much memory makes it go over the whole heap at every picture, and at that it drops the machine code of
 * all functions made anew for each check: a third of the processor time went into compiling them again.
 */
function giveBack({ data }: Picture): void {
  // What shares its memory with others is not the picture's to give; Node 20 cannot give it.
  if (data.buffer instanceof ArrayBuffer && data.byteLength === data.buffer.byteLength) data.buffer.transfer?.(0);
}

/** The record with the name of the profile that it rests on: a report has to say by which. */
function withProfile(record: CheckRecord, profile: Profile | undefined): CheckRecord {
  if (record.status !== "measured" || record.view.lens.source !== "profile" || !profile) return record;
  return { ...record, view: { ...record.view, lens: { ...record.view.lens, profile: `${profile.name}, ${profile.date}` } } };
}

/** Tells what a live picture promises. @throws PictureFault */
export async function preview({ image, job }: PreviewTask): Promise<SheetPreview> {
  const picture = await decodePicture(image, { maxPixels: MOST_PREVIEW_PIXELS });
  try {
    return previewSheet(picture, job);
  } finally {
    giveBack(picture);
  }
}

/** A HEIC picture, and where its copy goes. */
export interface RewriteTask {
  readonly from: string;
  readonly to: string;
}

/** Writes a HEIC picture anew as TIFF, for whatever cannot read HEIC. @throws PictureFault */
export async function rewriteHeic({ from, to }: RewriteTask): Promise<void> {
  const { width, height, channels, data } = await decodePicture(from);
  await sharp(data, { raw: { width, height, channels } }).tiff({ compression: "none" }).toFile(to);
}

/** A frame is reduced before it comes here; more than this is no frame. */
const MOST_PREVIEW_PIXELS = 12e6;
