import type { FeatureReport } from "../record.ts";

/** A feature of which no more than this share is found is warned of: two of four sides say nothing of one direction. */
const POORLY_FOUND = 0.55;

/** Whether so little of a cut or crease was found that it is warned of, and a cut not taken for good. */
export function isPoorlyFound({ coverage }: Pick<FeatureReport, "coverage">): boolean {
  return coverage < POORLY_FOUND;
}

/** Whether no more than half of some cut was seen: of that cut too little is known. */
export function isCutHidden(features: readonly FeatureReport[]): boolean {
  return features.some((feature) => feature.kind === "cut" && isPoorlyFound(feature));
}
