import { describe, expect, it } from "vitest";
import { isScattered, scatterOf } from "../../../core/check/scatter.ts";
import type { Solution } from "../../../core/check/solve.ts";
import type { TracedPath } from "../../../core/cuts/trace.ts";
import { randomOf } from "../../../core/sample/random.ts";

/** A fit that leaves the given residuals, mm, and a path of that many found chunks of the given profile width. */
function fitOf(residuals: readonly number[], width: number): [Solution, TracedPath[]] {
  const sigma = 0.01;
  const scale = 2;
  const solution = { data: { cuts: residuals.map(() => ({ sigma })), cutScale: scale }, cutResiduals: Float64Array.from(residuals, (v) => v / sigma / scale) };
  return [solution as unknown as Solution, [{ kind: "cut", width, chunks: residuals.map(() => ({ found: true })) }] as unknown as TracedPath[]];
}

describe("what scatters too much for a cut", () => {
  const random = randomOf(5);
  const normals = (sigma: number) => Array.from({ length: 400 }, () => sigma * random.normal());

  it("is told in mm, whatever the fit's own units are, and single pieces far off do not count", () => {
    const [solution] = fitOf([...normals(0.02), ...Array.from({ length: 40 }, () => 3)], 0.2);
    expect(scatterOf(solution)).toBeGreaterThan(0.018);
    expect(scatterOf(solution)).toBeLessThan(0.026);
    expect(scatterOf(fitOf([], 0.2)[0])).toBe(0);
  });

  it("a search that ends anywhere within a profile's width found no cut; a cut in noise, or one that a dull blade tore, is one", () => {
    const anywhere = Array.from({ length: 400 }, () => random.between(-0.3, 0.3));
    expect(isScattered(...fitOf(anywhere, 0.3))).toBe(true);
    expect(isScattered(...fitOf(normals(0.05), 0.3))).toBe(false);
    expect(isScattered(...fitOf(normals(0.04), 0.08))).toBe(false);
    expect(isScattered(...fitOf([], 0.3))).toBe(false);
  });
});
