import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { discordantPairs, visitDiscordantPairs } from "../../../core/trend/inversions.ts";
import { mannKendall } from "../../../core/trend/mannKendall.ts";
import { theilSen } from "../../../core/trend/theilSen.ts";
import { gaussian } from "../../support/gaussian.ts";

function plainly(x: readonly number[], y: readonly number[]): number | null {
  const slopes = x.flatMap((a, i) => x.slice(0, i).flatMap((b, j) => (a === b ? [] : [(y[i] - y[j]) / (a - b)]))).sort((a, b) => a - b);
  if (slopes.length === 0) return null;
  const middle = slopes.length >> 1;
  return slopes.length % 2 === 1 ? slopes[middle] : (slopes[middle - 1] + slopes[middle]) / 2;
}

const points = fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: -40, max: 40 })), { minLength: 2, maxLength: 120 });

describe("theilSen", () => {
  it("is the median of all slopes, with repeated x and tied slopes", () => {
    fc.assert(fc.property(points, fc.constantFrom(1, 1e-6, 1e6), (p, unit) => {
      const [x, y] = [p.map((q) => q[0]), p.map((q) => q[1] * unit)];
      const [got, expected] = [theilSen(x, y), plainly(x, y)];
      if (expected === null) expect(got).toBeNull();
      else expect(Math.abs((got ?? NaN) - expected)).toBeLessThanOrEqual(1e-9 * unit);
    }), { numRuns: 300 });
  });

  it("is so for a thousand values too, where slopes are not listed but counted", () => {
    const normal = gaussian(6);
    for (const step of [0, 0.01, 0.1]) {
      const x = Array.from({ length: 1000 }, (_, i) => i);
      const y = x.map((i) => (step > 0 ? Math.round((0.001 * i + 0.05 * normal()) / step) * step : 0.001 * i + 0.05 * normal()));
      expect(theilSen(x, y)).toBeCloseTo(plainly(x, y) ?? NaN, 12);
    }
  });

  it("does not follow a third of gross outliers", () => {
    const x = Array.from({ length: 99 }, (_, i) => i);
    expect(theilSen(x, x.map((i) => (i % 4 === 0 ? 1000 : 0.5 * i)))).toBeCloseTo(0.5, 1);
  });
});

describe("pairs out of order", () => {
  it("are counted and visited as by looking at all", () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 0, max: 9 }), { maxLength: 60 }), (values) => {
      const expected = values.flatMap((v, j) => values.slice(0, j).flatMap((u, i) => (u > v ? [`${i} ${j}`] : []))).sort();
      const visited: string[] = [];
      visitDiscordantPairs(Float64Array.from(values), (i, j) => visited.push(`${i} ${j}`) > 0);
      expect(visited.sort()).toEqual(expected);
      expect(discordantPairs(Float64Array.from(values))).toBe(expected.length);
    }));
  });
});

describe("mannKendall", () => {
  it("counts rising minus falling pairs, with ties in x and y", () => {
    fc.assert(fc.property(points, (p) => {
      const [x, y] = [p.map((q) => q[0]), p.map((q) => q[1])];
      let s = 0;
      for (let i = 0; i < x.length; i++) for (let j = 0; j < i; j++) s += Math.sign((x[i] - x[j]) * (y[i] - y[j]));
      const test = mannKendall(x, y);
      if (test) expect(test.s).toBe(s);
    }));
  });
});
