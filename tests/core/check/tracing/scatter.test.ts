import { describe, expect, it } from "vitest";
import { isScattered, scatterOf } from "../../../../core/check/tracing/scatter.ts";
import type { Solution } from "../../../../core/check/fit/solution.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import { randomOf } from "../../../../core/sample/random.ts";

/** A fit that leaves the given residuals, mm. */
function fitOf(residuals: readonly number[]): Solution {
  const sigma = 0.01;
  const scale = 2;
  return { data: { cuts: residuals.map(() => ({ sigma })), cutScale: scale }, cutResiduals: Float64Array.from(residuals, (v) => v / sigma / scale) } as unknown as Solution;
}

/** A path of chunks found at the given places, mm (NaN: not found), of the given profile width. */
function pathOf(places: readonly number[], width: number): TracedPath {
  return { kind: "cut", width, chunks: places.map((t) => ({ chunk: { stations: 9 }, found: !Number.isNaN(t), t })) } as unknown as TracedPath;
}

describe("what scatters too much for a cut", () => {
  const random = randomOf(5);
  const normals = (sigma: number) => Array.from({ length: 400 }, () => sigma * random.normal());
  const anywhere = (reach: number) => Array.from({ length: 400 }, () => random.between(-reach, reach));

  it("is told in mm, whatever the fit's own units are, and single pieces far off do not count", () => {
    const scatter = scatterOf(fitOf([...normals(0.02), ...Array.from({ length: 40 }, () => 3)]));
    expect(scatter).toBeGreaterThan(0.018);
    expect(scatter).toBeLessThan(0.026);
    expect(scatterOf(fitOf([]))).toBe(0);
  });

  it("a search that ends anywhere within a profile's width found no cut; a cut in noise, or one that a dull blade tore, is one", () => {
    const about = (off: number, ...paths: TracedPath[]) => isScattered(paths, () => off, false);
    expect(about(0, pathOf(anywhere(0.3), 0.3))).toBe(true);
    expect(about(0, pathOf(anywhere(0.1), 0.1), pathOf(normals(0.05), 0.5))).toBe(false);
    expect(about(0, pathOf(anywhere(0.15), 0.1), pathOf(anywhere(0.15), 0.1), pathOf(normals(0.05), 0.5))).toBe(true);
    expect(about(0.2, pathOf(normals(0.05).map((t) => t + 0.2), 0.3))).toBe(false);
    expect(about(0, pathOf(normals(0.025), 0.06))).toBe(false);
    expect(about(0)).toBe(false);
  });

  it("the fewer pieces are found at all, the less they may scatter", () => {
    const half = (sigma: number) => normals(sigma).map((t, i) => (i % 2 === 0 ? t : NaN));
    expect(isScattered([pathOf(normals(0.07), 0.3)], () => 0, false)).toBe(false);
    expect(isScattered([pathOf(half(0.07), 0.3)], () => 0, false)).toBe(true);
    expect(isScattered([pathOf(half(0.03), 0.3)], () => 0, false)).toBe(false);
    // Slits that stand out plainly may scatter as those of which most is found.
    expect(isScattered([pathOf(half(0.07), 0.3)], () => 0, true)).toBe(false);
    expect(isScattered([pathOf(half(0.12), 0.3)], () => 0, true)).toBe(true);
  });

  it("faint slits of which two thirds are found may scatter by three quarters of what a search for nothing does, no more", () => {
    const twoThirds = (sigma: number) => normals(sigma).map((t, i) => (i % 3 === 0 ? NaN : t));
    expect(isScattered([pathOf(twoThirds(0.07), 0.3)], () => 0, false)).toBe(false);
    expect(isScattered([pathOf(twoThirds(0.095), 0.3)], () => 0, false)).toBe(true);
  });
});
