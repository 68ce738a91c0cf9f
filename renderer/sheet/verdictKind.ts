import { isCutHidden } from "../../core/check/poorlyFound.ts";
import type { Measured } from "../../core/check/record.ts";
import type { Standing } from "../desk/sheet.ts";

/** Which of the verdict's sentences a measured sheet has: one that is unsure since a cut was hardly seen is told to look at that cut, not that it lies close to its limit. */
export function verdictKind(standing: Standing, { features }: Pick<Measured, "features">): Standing | "hidden" {
  return standing === "unsure" && isCutHidden(features) ? "hidden" : standing;
}
