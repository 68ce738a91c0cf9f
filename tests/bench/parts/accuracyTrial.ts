import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { checkSheet } from "../../../core/check/check.ts";
import type { CheckRecord } from "../../../core/check/record.ts";
import { drawPicture } from "../../../core/sample/draw.ts";
import { trialOf, type Row } from "../../../core/sample/scenarios.ts";
import { truthOf, type Truth } from "../../../core/sample/truth.ts";
import { encodePicture, endingOf } from "../../../electron/cli/verbs/samplePicture.ts";
import { decodePicture } from "../../../electron/host/pictures/decode.ts";

export interface TrialTask {
  readonly row: Row;
  readonly index: number;
  readonly seed: number;
}

export interface TrialResult {
  readonly task: TrialTask;
  readonly note: string;
  readonly file: string;
  readonly truth: Truth;
  readonly tolerance: number;
  /** Codes that fit where the picture must be refused. */
  readonly refusal: readonly string[] | null;
  readonly record: CheckRecord | { readonly status: "failed"; readonly error: string };
  readonly ms: number;
}

/** Pictures are kept by the hash of all that draws them, so that a second run measures only. */
const store = join(tmpdir(), "kerfmark-accuracy", drawingHash());

function drawingHash(): string {
  const hash = createHash("sha256");
  const folder = new URL("../../../core/sample/", import.meta.url);
  for (const name of readdirSync(folder).sort()) hash.update(readFileSync(new URL(name, folder)));
  return hash.digest("hex").slice(0, 12);
}

/** Where a trial's picture is kept; it is drawn where it is not there yet. */
export async function pictureOf({ row, index, seed }: TrialTask): Promise<string> {
  const { scene, encoding } = trialOf(row, index, seed);
  const file = join(store, `${row}-${seed}-${index}.${endingOf(encoding)}`);
  if (!existsSync(file)) {
    mkdirSync(store, { recursive: true });
    writeFileSync(`${file}.${process.pid}.part`, await encodePicture(drawPicture(scene), encoding));
    renameSync(`${file}.${process.pid}.part`, file);
  }
  return file;
}

/** Draws (or takes from the store), decodes as the program does, and checks one picture. */
export default async function runTrial(task: TrialTask): Promise<TrialResult> {
  const { scene, job, note, refusal } = trialOf(task.row, task.index, task.seed);
  const file = await pictureOf(task);
  const picture = await decodePicture(file);
  const start = performance.now();
  let record: TrialResult["record"];
  try {
    record = checkSheet(picture, job, { image: file }).record;
  } catch (error) {
    record = { status: "failed", error: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
  return { task, note, file, truth: truthOf(scene), tolerance: job.tolerance.position, refusal, record, ms: performance.now() - start };
}
