import { describe, expect, it } from "vitest";
import { footBias } from "../../../core/cuts/foot.ts";
import { chunkWith, grid } from "./profile.ts";

const WIDTH = 0.12;
const sigma = (height: number, bare?: number): number => {
  const chunk = { ...chunkWith({ at: 0, width: WIDTH, depth: 0, ground: 0.1 + height / 2, step: height }), ...(bare === undefined ? {} : { bare }) };
  return footBias(Array.from({ length: 40 }, () => ({ chunk, t: 0, expected: 0 })), 1, grid, WIDTH)?.sigma ?? 0;
};

describe("a rim that catches light", () => {
  it("leaves the more doubt of an edge the lower its step is", () => {
    expect(sigma(0.7)).toBeLessThan(0.02);
    expect(sigma(0.07) / sigma(0.7)).toBeGreaterThan(5);
  });

  it("leaves the less the less the bare board reflects in the plane that is looked at, such as kraft in blue", () => {
    expect(sigma(0.02, 0.1) / sigma(0.02, 1)).toBeLessThan(0.2);
    expect(sigma(0.07, 1)).toBe(sigma(0.07));
  });
});
