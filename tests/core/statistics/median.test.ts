import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { medianOf } from "../../../core/statistics/median.ts";

describe("the median", () => {
  it("is the middle of the sorted values, or the mean of the two in the middle, ties and infinities included", () => {
    const value = fc.oneof(fc.integer({ min: -3, max: 3 }), fc.double({ noNaN: true }));
    fc.assert(fc.property(fc.array(value, { minLength: 1, maxLength: 60 }), (values) => {
      const sorted = Float64Array.from(values).sort();
      const [lower, upper] = [sorted[(values.length - 1) >> 1], sorted[values.length >> 1]];
      expect(medianOf(values) + 0).toBe((values.length % 2 ? upper : 0.5 * (lower + upper)) + 0);
      expect(medianOf(sorted.reverse()) + 0).toBe(medianOf(values) + 0);
    }));
  });

  it("changes nothing in what it is given, and is 0 of nothing", () => {
    const values = Float64Array.of(3, 1, 2);
    expect(medianOf(values)).toBe(2);
    expect([...values]).toEqual([3, 1, 2]);
    expect(medianOf([])).toBe(0);
  });
});
