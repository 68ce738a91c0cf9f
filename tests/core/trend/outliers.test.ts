import { expect, it } from "vitest";
import { findOutliers } from "../../../core/trend/outliers.ts";
import { gaussian } from "../../support/gaussian.ts";

const run = (seed: number, mean: (i: number) => number = () => 0, n = 300) => {
  const normal = gaussian(seed);
  return Array.from({ length: n }, (_, i) => mean(i) + normal());
};

it("finds single values, and takes no drift and no step for one", () => {
  const values = run(1);
  values[57] += 8;
  values[0] -= 9;
  values[60] = NaN;
  expect(findOutliers(values, 1).map((o) => o.at)).toEqual([1, 58]);
  expect(findOutliers(run(2, (i) => 0.05 * i), 1)).toEqual([]);
  expect(findOutliers(run(3, (i) => (i >= 140 ? 9 : 0)), 1)).toEqual([]);
});

it("names one in normal values seldom: in fewer than one run of 300 values in fifty", () => {
  const runs = Array.from({ length: 300 }, (_, i) => findOutliers(run(1000 + i), 1).length).filter((n) => n > 0).length;
  expect(runs).toBeLessThan(6);
  // Negative control: at half the scatter they are many.
  expect(findOutliers(run(1000), 0.5).length).toBeGreaterThan(3);
});

it("says nothing of few values or of values without scatter", () => {
  expect(findOutliers([1, 2, 30, 4], 1)).toEqual([]);
  expect(findOutliers(run(1), 0)).toEqual([]);
});
