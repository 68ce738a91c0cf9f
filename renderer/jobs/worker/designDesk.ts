import { contributionsOf } from "../../../core/design/contributions.ts";
import { predict } from "../../../core/design/predict.ts";
import type { Setup } from "../../../core/design/setup.ts";
import type { NoView } from "../../../core/design/viewpoint.ts";
import type { Job } from "../../../core/job/schema.ts";
import type { Predicted } from "./protocol.ts";

/** How well a job will be measured, and what each of its marks brings. */
export function predicted(job: Job, setup: Setup): Predicted | NoView {
  const prediction = predict(job, setup);
  if (!prediction.ok) return prediction;
  const contributions = contributionsOf(job, setup);
  return contributions.ok ? { ok: true, prediction, contributions: contributions.marks } : contributions;
}
