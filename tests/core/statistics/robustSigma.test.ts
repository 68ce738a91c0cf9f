import { describe, expect, it } from "vitest";
import { randomOf } from "../../../core/sample/random.ts";
import { normalQuantile } from "../../../core/statistics/normal.ts";
import { robustSigma } from "../../../core/statistics/robustSigma.ts";

describe("the robust standard deviation", () => {
  it("is that of normal deviations, whatever their sign", () => {
    expect(robustSigma([-1, 1, -1]) * normalQuantile(0.75)).toBeCloseTo(1, 4);
    const random = randomOf(1);
    expect(robustSigma(Array.from({ length: 20_000 }, () => 3 * random.normal()))).toBeCloseTo(3, 1);
  });

  it("stays where it was when a third of them is anything", () => {
    expect(robustSigma([0.1, -0.1, 0.1, -0.1, 1e6, -1e9])).toBeCloseTo(0.14826, 10);
  });

  it("is 0 of none", () => {
    expect(robustSigma([])).toBe(0);
  });
});
