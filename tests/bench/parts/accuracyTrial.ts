import { checkSheet } from "../../../core/check/check.ts";
import type { CheckRecord, Overlay } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { trialOf } from "../../../core/sample/scenarios.ts";
import { truthOf, type Truth } from "../../../core/sample/truth.ts";
import { decodePicture } from "../../../electron/host/pictures/decode.ts";
import { pictureOf, type TrialTask } from "./accuracyStore.ts";

export interface TrialResult {
  readonly task: TrialTask;
  /** What kind of picture it is, in words. */
  readonly note: string;
  readonly file: string;
  readonly job: Job;
  readonly truth: Truth;
  /** Codes that fit where the picture must be refused; null where it must be measured. */
  readonly refusal: readonly string[] | null;
  readonly record: CheckRecord | { readonly status: "failed"; readonly error: string };
  readonly overlay?: Overlay;
  /** Processor time of the check, decoding not included, ms. */
  readonly ms: number;
}

/** Draws a picture (or takes it from the store), decodes it as the program does, and checks it. */
export default async function runTrial(task: TrialTask): Promise<TrialResult> {
  const trial = trialOf(task.row, task.index, task.seed);
  const { scene, job, note, refusal } = trial;
  const file = await pictureOf(task, trial);
  const about = { task, note, file, job, truth: truthOf(scene), refusal };
  const picture = await decodePicture(file);
  const start = process.threadCpuUsage();
  const checked = ((): Pick<TrialResult, "record" | "overlay"> => {
    try {
      return checkSheet(picture, job, { image: file });
    } catch (error) {
      return { record: { status: "failed", error: whereOf(error) } };
    }
  })();
  return { ...about, ...checked, ms: process.threadCpuUsage(start).user / 1000 };
}

/** An error's message and the place where it arose. */
function whereOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  return (error.stack ?? error.message).split("\n").slice(0, 2).map((line) => line.trim()).join(" ");
}
