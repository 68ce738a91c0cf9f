import { describe, expect, it } from "vitest";
import { estimateOf } from "../../../core/check/estimate.ts";
import { CUT_TERMS, type CutKind } from "../../../core/check/cutMap.ts";
import type { Solution } from "../../../core/check/solution.ts";

const HALF = 200;

/** A solution of which only the cut terms matter, each known to 0.001 mm. */
function solved(kind: CutKind): Solution {
  const size = CUT_TERMS[kind];
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) covariance[i * (size + 1)] = 1e-6;
  return { cut: new Float64Array(size), covariance, size, free: [], data: { frame: { print: { half: HALF } } } } as unknown as Solution;
}

describe("uncertainties of the cut-to-print map", () => {
  it("are those of the fit where all six terms are fitted", () => {
    const { u } = estimateOf(solved("affine"));
    // A micrometre at the half span of 0.2 m; scale and skew of one axis have two such terms.
    expect(u.rotation).toBeCloseTo((Math.SQRT2 * 0.001) / 0.2, 6);
    expect(u.scaleX).toBeCloseTo((Math.SQRT2 * 0.001) / 0.2, 6);
    expect(u.skew).toBeCloseTo((2 * 0.001) / 0.2, 6);
  });

  it("hold what is usual where the cuts cannot support a term: an ellipse alone tells nothing of how it leans", () => {
    const { u } = estimateOf(solved("similarity"));
    expect(u.skew).toBeGreaterThan(3);
    expect(u.scaleX).toBeGreaterThan(1);
    expect(estimateOf(solved("shift")).u.rotation).toBeGreaterThan(8);
  });
});
