import { describe, expect, it } from "vitest";
import { alike } from "../../../../core/check/fit/alike.ts";
import { randomOf } from "../../../../core/sample/random.ts";

/** Residuals of sides with `each` chunks: noise of one, and an error of the whole side with the given standard deviation. */
function residualsOf(sides: number, each: number, ofSide: number, seed: number): { z: Float64Array; cuts: { nx: number; ny: number }[]; paths: number[] } {
  const random = randomOf(seed);
  const z: number[] = [];
  const cuts: { nx: number; ny: number }[] = [];
  const paths: number[] = [];
  for (let side = 0; side < sides; side++) {
    const error = ofSide * random.normal();
    for (let k = 0; k < each; k++) {
      z.push(error + random.normal());
      cuts.push({ nx: Math.cos((side * Math.PI) / 2), ny: Math.sin((side * Math.PI) / 2) });
      paths.push(side >> 2);
    }
  }
  return { z: Float64Array.from(z), cuts, paths };
}

function mean(ofSide: number, sides: number): number {
  const factors = Array.from({ length: 40 }, (_, seed) => {
    const { z, cuts, paths } = residualsOf(sides, 20, ofSide, seed + 1);
    return alike(z, cuts, paths, Math.hypot(1, ofSide));
  });
  return factors.reduce((s, f) => s + f, 0) / factors.length;
}

describe("how much less many chunks say because they are alike", () => {
  it("is nothing for noise alone", () => {
    expect(mean(0, 36)).toBeGreaterThan(0.9);
    expect(mean(0, 36)).toBeLessThan(1.4);
  });

  it("is what an error of whole sides makes of the variance of their means: 1 + 20 v for v of the noise's variance, over 1 + v", () => {
    for (const v of [0.1, 0.3]) {
      const expected = (1 + 20 * v) / (1 + v);
      expect(mean(Math.sqrt(v), 36) / expected).toBeGreaterThan(0.75);
      expect(mean(Math.sqrt(v), 36) / expected).toBeLessThan(1.5);
    }
  });

  it("goes by neighbours alone where there are no more sides than the cut's own terms take up", () => {
    const { z, cuts, paths } = residualsOf(4, 20, 0, 3);
    expect(alike(z, cuts, paths, 1)).toBeLessThan(2);
  });
});
