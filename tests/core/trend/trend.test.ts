import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { driftChart } from "../../../core/trend/ewma.ts";
import { trend } from "../../../core/trend/trend.ts";
import { gaussian } from "../../support/gaussian.ts";

/** Paths of numbers that JSON cannot hold. */
function unfit(value: unknown, path = ""): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [path];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, v]) => unfit(v, `${path}.${key}`));
}

const cell = fc.oneof(
  { weight: 6, arbitrary: fc.integer({ min: -50, max: 50 }).map((v) => v / 100) },
  { weight: 3, arbitrary: fc.double({ min: -1e6, max: 1e6, noNaN: true }) },
  { weight: 2, arbitrary: fc.constant(Number.NaN) },
  { weight: 1, arbitrary: fc.constant(0) },
);

describe("trend", () => {
  it("gives finite figures or leaves them out with a note, for any column (constant, short, with gaps)", () => {
    fc.assert(fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 60 }), fc.boolean(), fc.boolean(), (rows, constant, limits) => {
      const values = rows.map((r) => (constant ? 0.3 : r[0]));
      const result = trend({
        column: "x", values, second: { column: "y", values: rows.map((r) => r[1]) },
        limits: limits ? { lower: -0.4, upper: 0.4 } : undefined, u: 0.01,
      });
      expect(unfit(result)).toEqual([]);
      expect(result.n).toBe(rows.length);
      expect(result.missing).toBe(values.filter(Number.isNaN).length);
      if (!result.individuals || !result.t2 || !result.capability || !result.drift) expect(result.notes.length).toBeGreaterThan(0);
      for (const s of result.signals) expect(s.at >= 1 && s.at <= rows.length).toBe(true);
      for (const chart of [result.ewma, result.driftChart]) if (chart) expect(chart.values).toHaveLength(rows.length);
    }), { numRuns: 400 });
  });

  it("does not depend on the unit, nor on where zero lies", () => {
    const normal = gaussian(3);
    const values = Array.from({ length: 80 }, (_, i) => (i > 50 ? 0.2 : 0) + 0.05 * normal());
    const plain = trend({ column: "x", values, limits: { lower: -0.4, upper: 0.4 } });
    for (const [unit, zero] of [[1e9, 0], [1e-9, 0], [1, 100]]) {
      const other = trend({ column: "x", values: values.map((v) => unit * v + zero), limits: { lower: zero - 0.4 * unit, upper: zero + 0.4 * unit } });
      expect(other.signals).toEqual(plain.signals);
      expect(other.changes.map((c) => c.at)).toEqual(plain.changes.map((c) => c.at));
      expect(other.capability?.ppk).toBeCloseTo(plain.capability?.ppk ?? NaN, 6);
      expect((other.drift?.per100 ?? NaN) / unit).toBeCloseTo(plain.drift?.per100 ?? NaN, 6);
    }
  });

  it("takes the measurement's uncertainty out of the scatter", () => {
    const normal = gaussian(8);
    const values = Array.from({ length: 400 }, () => 0.03 * normal() + 0.04 * normal());
    const { process } = trend({ column: "x", values, baseline: { from: 1, to: 400 }, u: 0.04 });
    expect(process?.sigmaOverall).toBeCloseTo(0.03, 2);
  });

  it("draws the drift chart wider the shorter the baseline, and as the plain EWMA for a long one", () => {
    const reach = (n: number) => driftChart(new Array(100).fill(0), { centre: 0, sigmaWithin: 1, n }).ucl[99];
    expect(reach(20)).toBeGreaterThan(reach(100));
    expect(reach(1_000_000)).toBeCloseTo(1, 3); // 3 sqrt(0.2 / 1.8)
  });
});
