import type { CheckOutcome, Refusal } from "../../../core/check/record.ts";

/** The outcome of a picture that never came to be measured. */
export function refusedOutcome(image: string, job: string, refusal: Refusal): CheckOutcome {
  return { record: { format: "kerfmark.check/1", image, job, status: "refused", verdict: null, refusal, warnings: [] } };
}
