import { describe, expect, it } from "vitest";
import type { LipBias } from "../../../../core/cuts/lips/lip.ts";
import { lipsTogether } from "../../../../core/cuts/lips/lipsTogether.ts";
import { randomOf } from "../../../../core/sample/random.ts";

const DIRECTIONS = 16;
const angle = (k: number): number => (2 * Math.PI * k) / DIRECTIONS;

/** Sightings of true biases, known to sigma(k) mm; unseen where that is 0. */
function seen(truth: (k: number) => number, sigma: (k: number) => number, noise: (k: number) => number = () => 0): (LipBias | null)[] {
  return Array.from({ length: DIRECTIONS }, (_, k) => (sigma(k) > 0 ? { shift: truth(k) + noise(k), sigma: sigma(k) } : null));
}

describe("lips of all directions together", () => {
  it("takes a direction that is not seen from the light that all others show", () => {
    const truth = (k: number): number => 0.04 * Math.cos(angle(k) - 0.7);
    const together = lipsTogether(seen(truth, (k) => (k === 3 ? 0 : 0.003)));
    expect(Math.abs(together[3].shift - truth(3))).toBeLessThan(0.003);
    expect(together[3].sigma).toBeLessThan(0.01);
  });

  it("leaves to a blade that cuts each direction its own way what each direction shows", () => {
    const random = randomOf(4);
    const own = Array.from({ length: DIRECTIONS }, () => 0.05 * random.normal());
    const together = lipsTogether(seen((k) => own[k], () => 0.003));
    together.forEach((lip, k) => expect(Math.abs(lip.shift - own[k])).toBeLessThan(0.004));
  });

  it("corrects a badly seen direction by its opposite, and says how well it is known", () => {
    const random = randomOf(5);
    let [error, alone, held, n] = [0, 0, 0, 0];
    for (let trial = 0; trial < 200; trial++) {
      const [inside, light, from] = [random.chance(0.4) ? 0.03 * random.normal() : 0, 0.03 * random.normal(), random.between(0, 6.28)];
      const truth = (k: number): number => inside + light * Math.cos(angle(k) - from) + 0.003 * random.normal();
      const real = Array.from({ length: DIRECTIONS }, (_, k) => truth(k));
      const sigma = (k: number): number => (k % 4 !== 0 ? 0 : k === 8 ? 0.04 : 0.008);
      const lips = seen((k) => real[k], sigma, (k) => sigma(k) * random.normal());
      const together = lipsTogether(lips);
      error += (together[8].shift - real[8]) ** 2;
      alone += ((lips[8]?.shift ?? 0) - real[8]) ** 2;
      for (const k of [0, 4, 8, 12]) {
        n++;
        if (Math.abs(together[k].shift - real[k]) < 2 * together[k].sigma) held++;
      }
    }
    console.log(`badly seen direction: ${Math.sqrt(error / 200).toFixed(4)} mm, alone ${Math.sqrt(alone / 200).toFixed(4)} mm; held by 2 sigma ${((100 * held) / n).toFixed(1)} %`);
    expect(error).toBeLessThan(0.8 * alone);
    expect(held / n).toBeGreaterThan(0.92);
  });

  it("moves the tones of a direction with it", () => {
    const lips = seen(() => 0.02, () => 0.002);
    lips[0] = { shift: 0.1, sigma: 0.2, tones: [{ bare: 1, shift: 0.08 }, { bare: 4, shift: 0.13 }] };
    const [first] = lipsTogether(lips);
    expect(first.shift).toBeLessThan(0.03);
    expect((first.tones?.[1].shift ?? 0) - (first.tones?.[0].shift ?? 0)).toBeCloseTo(0.05, 10);
  });

  it("knows nothing where no direction is seen", () => {
    for (const lip of lipsTogether(seen(() => 0, () => 0))) {
      expect(lip.shift).toBe(0);
      expect(lip.sigma).toBeGreaterThan(0.03);
    }
  });
});
