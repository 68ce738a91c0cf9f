import { contributionsOf } from "../../../core/design/contributions.ts";
import { predict } from "../../../core/design/predict.ts";
import type { Setup } from "../../../core/design/setup.ts";
import type { NoView } from "../../../core/design/viewpoint.ts";
import type { Job } from "../../../core/job/schema.ts";
import { artworkBoxes } from "../../../core/job/import/artwork.ts";
import { proposeMeanings } from "../../../core/job/import/meaning.ts";
import { readDrawing } from "../../../core/job/import/read.ts";
import type { Asks, Predicted } from "./protocol.ts";

/** What proposed marks are to keep out of: the artwork of a print's drawing. */
export async function artwork(bytes: Uint8Array, name: string, sheet: Job["sheet"]): Promise<Asks["artwork"]["answer"]> {
  const read = await readDrawing(bytes, name);
  return read.ok ? { ok: true, ...artworkBoxes(read.drawing, proposeMeanings(read.drawing), sheet) } : { ok: false, reason: read.reason, hint: read.hint };
}

/** How well a job will be measured, and what each of its marks brings. */
export function predicted(job: Job, setup: Setup): Predicted | NoView {
  const prediction = predict(job, setup);
  if (!prediction.ok) return prediction;
  const contributions = contributionsOf(job, setup);
  return contributions.ok ? { ok: true, prediction, contributions: contributions.marks } : contributions;
}
