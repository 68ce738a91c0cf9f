import { isCutHidden } from "../../core/check/report/poorlyFound.ts";
import type { Measured } from "../../core/check/record.ts";
import type { Standing } from "../desk/sheet.ts";
import { deciding } from "./deciding.ts";

/**
 * Which of the verdict's sentences a measured sheet has: one that is unsure since a cut was hardly seen is told to look at that cut, and one whose worst place keeps its limit with U to spare to look where a part of a cut
 * was not seen, not that it lies close to its limit.
 */
export function verdictKind(standing: Standing, record: Pick<Measured, "features" | "judged" | "verdict" | "worst">): Standing | "hidden" | "astray" {
  if (standing !== "unsure") return standing;
  if (isCutHidden(record.features)) return "hidden";
  const { what, value, U, limit } = deciding(record);
  return what === "position" && limit !== undefined && Math.abs(value) + U < limit ? "astray" : "unsure";
}
