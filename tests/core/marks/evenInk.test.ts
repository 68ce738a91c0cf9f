import { describe, expect, it } from "vitest";
import { samplerOf, type Sampler } from "../../../core/image/sampler.ts";
import { evenInk } from "../../../core/marks/evenInk.ts";
import { gaussian } from "../../support/gaussian.ts";

const SIDE = 80;
const everywhere = (): boolean => true;
const window = { x0: 0, y0: 0, x1: SIDE - 1, y1: SIDE - 1 };

/** Ink of 0.2 with noise of single pixels, a slope of the light, and mottle: patches of 12 px that differ. */
function inkWith({ noise, mottle, slope = 0, seed }: { noise: number; mottle: number; slope?: number; seed: number }): Sampler {
  const normal = gaussian(seed);
  const patches = Array.from({ length: 100 }, () => mottle * normal());
  const data = Uint16Array.from({ length: SIDE * SIDE }, (_, i) => {
    const [x, y] = [i % SIDE, Math.floor(i / SIDE)];
    return Math.round(65535 * (0.2 + noise * normal() + slope * (x / SIDE) + patches[10 * Math.floor(y / 12) + Math.floor(x / 12)]));
  });
  return samplerOf({ width: SIDE, height: SIDE, channels: 1, data, transfer: "linear" });
}

function shareEven(ink: { noise: number; mottle: number; slope?: number }): number {
  const seeds = Array.from({ length: 30 }, (_, k) => k + 1);
  return seeds.filter((seed) => evenInk(inkWith({ ...ink, seed }), window, everywhere)).length / seeds.length;
}

describe("ink that is even but for the noise of its pixels", () => {
  it("is told by noise of single pixels, however strong, and under light that slopes", () => {
    expect(shareEven({ noise: 0.002, mottle: 0 })).toBeGreaterThan(0.9);
    expect(shareEven({ noise: 0.03, mottle: 0, slope: 0.05 })).toBeGreaterThan(0.9);
  });

  it("is not where print leaves patches, even ones of a third of the noise (negative control)", () => {
    expect(shareEven({ noise: 0.01, mottle: 0.01 })).toBe(0);
    expect(shareEven({ noise: 0.01, mottle: 0.0033 })).toBeLessThan(0.1);
  });

  it("is not taken for granted where little of it is seen", () => {
    expect(evenInk(inkWith({ noise: 0.01, mottle: 0, seed: 1 }), window, (x0, y0) => x0 < 24 && y0 < 24)).toBe(false);
  });
});
