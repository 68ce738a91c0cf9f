import type { FeatureReport } from "./record.ts";

/** A feature of which less than this share is found is warned of. */
const POORLY_FOUND = 0.5;

/** Whether so little of a cut or crease was found that it is warned of, and a cut not taken for good. */
export function isPoorlyFound({ coverage }: Pick<FeatureReport, "coverage">): boolean {
  return coverage < POORLY_FOUND;
}

/** Whether less than half of some cut was seen: of that cut nothing is known. */
export function isCutHidden(features: readonly FeatureReport[]): boolean {
  return features.some((feature) => feature.kind === "cut" && isPoorlyFound(feature));
}
