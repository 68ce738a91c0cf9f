import { describe, expect, it } from "vitest";
import { DRIFT_CHART } from "../../../core/trend/trend.ts";
import { bestChange, findChanges } from "../../../core/trend/changes.ts";
import { changeStudy, driftStudy, falseAlarms, forecastStudy, stepStudy } from "../../bench/parts/powerStudy.ts";
import { gaussian } from "../../support/gaussian.ts";

/** A small, seeded version of tests/bench/power.ts: same requirements, fewer runs. */
describe("power of the drift chart", () => {
  it("signals a drift of 0.1 mm in 200 sheets before the mean has moved 0.08 mm in 90 % of runs", () => {
    expect(driftStudy(100, DRIFT_CHART).share).toBeGreaterThanOrEqual(0.9);
  });

  it("signals a step of 2 sigma within 6 checks (median); a step of 0.3 sigma it does not (negative control)", () => {
    expect(stepStudy(101, DRIFT_CHART, 2)).toBeLessThanOrEqual(6);
    expect(stepStudy(101, DRIFT_CHART, 0.3)).toBeGreaterThan(6);
  });

  it("gives at most one false alarm per 300 sheets on a baseline of 100; all charts together give more", () => {
    const rates = falseAlarms(150, 600);
    expect(rates.get(DRIFT_CHART)).toBeLessThanOrEqual(1);
    expect(rates.get("all")).toBeGreaterThan(1);
  });
});

describe("change points", () => {
  it("are found within 3 checks (median)", () => {
    expect(changeStudy(101, 120, 2)).toBeLessThanOrEqual(3);
    expect(changeStudy(101, 120, 1)).toBeLessThanOrEqual(3);
    expect(changeStudy(41, 120, 0.05)).toBeGreaterThan(3); // negative control
  });

  it("have a p that means what it says where nothing changed", () => {
    const normal = gaussian(9);
    const x = Array.from({ length: 100 }, (_, i) => i);
    const p = Array.from({ length: 1000 }, () => bestChange(x, x.map(normal), 0, 100)?.p ?? 1);
    for (const [level, low, high] of [[0.05, 0.03, 0.07], [0.2, 0.14, 0.26], [0.01, 0, 0.02]]) {
      const share = p.filter((v) => v < level).length / p.length;
      expect(share).toBeGreaterThanOrEqual(low);
      expect(share).toBeLessThanOrEqual(high);
    }
  });

  it("are not seen in a straight drift, and are beside one", () => {
    const normal = gaussian(10);
    const x = Array.from({ length: 200 }, (_, i) => i);
    const drifts = Array.from({ length: 60 }, () => findChanges(x, x.map((i) => 0.02 * i + normal())).length);
    expect(drifts.filter((n) => n > 0).length).toBeLessThanOrEqual(4);
    const off = Array.from({ length: 61 }, () => {
      const found = findChanges(x, x.map((i) => 0.02 * i - (i >= 120 ? 2.5 : 0) + normal()));
      return Math.min(200, ...found.map((c) => Math.abs(c.at - 120)));
    }).sort((a, b) => a - b);
    expect(off[30]).toBeLessThanOrEqual(3);
  });
});

describe("forecast", () => {
  it.each([[100, 0, 0.001], [200, 100, 0.001], [150, 50, 0.001]])("holds the truth in 85 to 95 %% at 90 %% (%d rows, from row %d)", (rows, since, slope) => {
    const { held, given } = forecastStudy(400, rows, since, slope);
    expect(given).toBeGreaterThan(390);
    expect(held).toBeGreaterThan(0.85);
    expect(held).toBeLessThan(0.95);
    expect(forecastStudy(400, rows, since, slope, 0.5).held).toBeLessThan(0.8); // intervals of half the width must fail
  });
});
