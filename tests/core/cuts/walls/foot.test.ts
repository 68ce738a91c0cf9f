import { describe, expect, it } from "vitest";
import { FOOT_LEAVES, footBias, footDoubt } from "../../../../core/cuts/walls/foot.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.12;
const sigma = (height: number, bare?: number): number => {
  const chunk = { ...chunkWith({ at: 0, width: WIDTH, depth: 0, ground: 0.1 + height / 2, step: height }), ...(bare === undefined ? {} : { bare }) };
  return footBias(Array.from({ length: 40 }, () => ({ chunk, t: 0, expected: 0 })), 1, grid, WIDTH)?.sigma ?? 0;
};

describe("a rim that catches light", () => {
  it("leaves the more doubt of an edge the lower its step is", () => {
    expect(sigma(0.7)).toBeLessThan(0.03);
    expect(sigma(0.07) / sigma(0.7)).toBeGreaterThan(5);
  });

  it("leaves the less the less the bare board reflects in the plane that is looked at, such as kraft in blue", () => {
    expect(sigma(0.02, 0.1) / sigma(0.02, 1)).toBeLessThan(0.2);
    expect(sigma(0.07, 1)).toBe(sigma(0.07));
  });
});

describe("the doubt that is foretold of a plain edge", () => {
  it("is the one that such edges are found with, and what stands about them leaves", () => {
    expect(footDoubt(0.5, WIDTH) / Math.hypot(sigma(0.5), FOOT_LEAVES * WIDTH)).toBeCloseTo(1, 0.7);
  });

  it("grows with the blur and with the profile's noise, and as the step is lower", () => {
    expect(footDoubt(0.5, 2 * WIDTH)).toBeGreaterThan(1.05 * footDoubt(0.5, WIDTH));
    expect(footDoubt(0.5, WIDTH, 0.06)).toBeGreaterThan(1.05 * footDoubt(0.5, WIDTH));
    expect(footDoubt(0.1, WIDTH)).toBeGreaterThan(1.3 * footDoubt(0.5, WIDTH));
  });
});
