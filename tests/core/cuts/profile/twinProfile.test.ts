import { describe, expect, it } from "vitest";
import { profileHalf } from "../../../../core/cuts/profile/slitProfile.ts";
import { placeTwin } from "../../../../core/cuts/profile/twinProfile.ts";
import { randomOf } from "../../../../core/sample/random.ts";

interface Twin {
  readonly at: number;
  readonly groove: number;
  readonly rim: number;
  /** The right rim is brighter than their mean by this share of it, the left one darker. */
  readonly unequal: number;
}

const NOISE = 0.01;

/** The light over black board across two bright rims with a dark groove between them, the line about one high: summed under a Gaussian in steps of 5 micrometres, no formula of the program is used. */
function profileOf({ at, groove, rim, unequal }: Twin, blur: number, step: number, noise: () => number): Float64Array {
  const fine = 0.005;
  const light = (t: number): number => {
    const away = Math.abs(t) - groove / 2;
    if (away < 0) return -0.05;
    return away < rim ? (1 + Math.sign(t) * unequal) * (1.25 * blur) / rim : 0;
  };
  const half = profileHalf(blur, step);
  return Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const t = (i - half) * step - at;
    let [sum, weights] = [0, 0];
    for (let k = Math.ceil((-4 * blur) / fine); k <= (4 * blur) / fine; k++) {
      const w = Math.exp(-0.5 * ((k * fine) / blur) ** 2);
      sum += w * light(t + k * fine);
      weights += w;
    }
    return sum / weights + NOISE * noise();
  });
}

/** Where the line's light has its middle. */
function middleOf(profile: Float64Array, step: number): number {
  const half = profile.length >> 1;
  return profile.reduce((sum, v, i) => sum + v * (i - half) * step, 0) / profile.reduce((sum, v) => sum + v, 0);
}

describe("placing a slit that shows by its two bared rims", () => {
  it("finds the groove between them, not the middle of the light, and knows how well", () => {
    const random = randomOf(11);
    const [errors, middles, held]: [number[], number[], boolean[]] = [[], [], []];
    for (let i = 0; i < 200; i++) {
      const twin = { at: random.between(-0.15, 0.15), groove: random.between(0.1, 0.4), rim: random.between(0.06, 0.2), unequal: Math.max(-0.9, Math.min(0.9, 0.4 * random.normal())) };
      const blur = random.between(0.12, 0.26);
      const profile = profileOf(twin, blur, blur / 3, () => random.normal());
      const place = placeTwin({ profile, noise: NOISE }, blur / 3, blur);
      if (!place) continue;
      errors.push(place.shift - twin.at);
      middles.push(middleOf(profile, blur / 3) - twin.at);
      held.push(Math.abs(place.shift - twin.at) < 2 * place.sigma);
    }
    const spread = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
    const share = held.filter(Boolean).length / held.length;
    console.log(`${held.length} of 200 placed: off by ${spread(errors).toFixed(4)} mm, the light's middle by ${spread(middles).toFixed(4)}; ${(100 * share).toFixed(1)} % within 2 u`);
    expect(held.length).toBeGreaterThan(190);
    expect(share).toBeGreaterThan(0.9);
    expect(spread(errors)).toBeLessThan(0.5 * spread(middles));
  });

  it("sees none where there is no line", () => expect(placeTwin({ profile: new Float64Array(31), noise: NOISE }, 0.08, 0.2)).toBeNull());
});
