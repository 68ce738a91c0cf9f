import { describe, expect, it } from "vitest";
import { lanesOf } from "../../../renderer/runs/charts/lanes.ts";

describe("lanesOf", () => {
  it("keeps labels apart: the highest row that is free, in whatever order they come", () => {
    const at = (middle: number) => ({ middle, width: 40 });
    expect(lanesOf([at(100), at(10), at(20), at(200)])).toEqual([0, 0, 1, 0]);
  });

  it("uses five rows at most", () => {
    expect(Math.max(...lanesOf(Array.from({ length: 30 }, () => ({ middle: 50, width: 40 }))))).toBe(4);
  });
});
