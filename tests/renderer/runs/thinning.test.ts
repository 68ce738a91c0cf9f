import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inSight, POINTS_SHOWN } from "../../../renderer/runs/charts/thinning.ts";

const n = 10_000;
const x = Array.from({ length: n }, (_, i) => i + 1);
const wave = x.map((v) => Math.sin(v / 400) + 0.3 * Math.sin(v * 12.9898));
const view = fc.tuple(fc.integer({ min: 1, max: n }), fc.integer({ min: 600, max: n })).map(([from, width]) => [from, from + width] as const);

describe("inSight", () => {
  it("keeps the highest and the lowest of what is in sight, wherever the view stands", () => {
    fc.assert(fc.property(view, ([from, to]) => {
      const seen = wave.filter((_, i) => x[i] >= from && x[i] <= to);
      const drawn = inSight({ x, y: wave, look: "points" }, [from, to], 500).points.filter((p) => p.x >= from && p.x <= to).map((p) => p.y);
      expect(Math.max(...drawn)).toBe(Math.max(...seen));
      expect(Math.min(...drawn)).toBe(Math.min(...seen));
    }));
  });

  it("keeps no more than two points a column and its breaks, in order", () => {
    const { points, all } = inSight({ x, y: wave, look: "points" }, [1, n], 500);
    expect(all).toBe(false);
    expect(points.length).toBeLessThanOrEqual(2 * 502);
    expect(points.every((p, i) => i === 0 || p.x > points[i - 1].x)).toBe(true);
  });

  it("has the outer edge of a band on either side of it", () => {
    const [low, high] = (["low", "high"] as const).map((look) => inSight({ x, y: wave, look }, [1, n], 500).points);
    expect(Math.min(...low.map((p) => p.y))).toBe(Math.min(...wave));
    expect(Math.max(...high.map((p) => p.y))).toBe(Math.max(...wave));
    expect(low.length).toBeLessThanOrEqual(502);
  });

  it("does not change what it keeps while the view moves", () => {
    const at = (from: number) => new Set(inSight({ x, y: wave, look: "points" }, [from, from + 4000], 500).points.filter((p) => p.x > 3000 && p.x < 5000).map((p) => p.x));
    expect(at(1700)).toEqual(at(1003));
  });

  it("keeps a break that is wider than a column and joins what is closer", () => {
    const broken = wave.map((v, i) => (i === 50 || (i >= 5000 && i < 5100) ? NaN : v));
    const { points } = inSight({ x, y: broken, look: "points" }, [1, n], 500);
    const breaks = points.filter((p) => Number.isNaN(p.y));
    expect(breaks).toHaveLength(1);
    expect(breaks[0].x).toBeGreaterThan(5000);
    expect(breaks[0].x).toBeLessThan(5101);
  });

  it("draws all where few are in sight, with the neighbours outside", () => {
    const { points, all } = inSight({ x, y: wave, look: "points" }, [1000.5, 1400], 500);
    expect(all).toBe(true);
    expect(points.map((p) => p.x)).toEqual(Array.from({ length: 402 }, (_, i) => 1000 + i));
    expect(points.length).toBeLessThanOrEqual(POINTS_SHOWN);
  });

  it("has nothing of a curve that has no points, and one point of one that has one", () => {
    expect(inSight({ x: [], y: [], look: "thick" }, [0, 1], 500).points).toEqual([]);
    expect(inSight({ x: [4], y: [2], look: "thick" }, [0, 1], 500).points).toEqual([{ x: 4, y: 2 }]);
  });
});
