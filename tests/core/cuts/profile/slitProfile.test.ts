import { describe, expect, it } from "vitest";
import { LEAST_NOISE, placeSlit, profileHalf, slitDoubt } from "../../../../core/cuts/profile/slitProfile.ts";
import { TELLS_NOTHING } from "../../../../core/cuts/profile/pool.ts";
import { randomOf, type Random } from "../../../../core/sample/random.ts";

interface Slit {
  readonly at: number;
  readonly width: number;
  readonly light: number;
  /** Lip and shade on one side and the other: width or reach, mm, and share of the board's light. */
  readonly lip: { readonly side: number; readonly width: number; readonly light: number };
  readonly shade: { readonly side: number; readonly reach: number; readonly share: number };
  /** By how much more light its floor shows at its right edge than in its middle (less at its left), share of the bare board's (default 0). */
  readonly slope?: number;
  /** Share of the print torn off in a rim so wide, mm, on the left and on the right (default none). */
  readonly torn?: { readonly width: number; readonly left: number; readonly right: number };
}

/**
 * The light across a slit over the ground's, in steps of 5 micrometres, blurred by summing it under a Gaussian: no formula of the program is used. `bare`: bare board's light over that of the
 * ground, which print has darkened; the slit's depth and its lip show bare board.
 */
function profileOf(slit: Slit, blur: number, step: number, noise: () => number, bare = 1): Float64Array {
  const fine = 0.005;
  const light = (t: number): number => {
    const [lipAway, shadeAway] = [slit.lip.side * t - slit.width / 2, slit.shade.side * t - slit.width / 2];
    if (Math.abs(t) < slit.width / 2) return bare * (slit.light + (slit.slope ?? 0) * (t / (slit.width / 2)));
    const lit = lipAway > 0 && lipAway < slit.lip.width ? bare * slit.lip.light : 0;
    const shaded = shadeAway > 0 ? slit.shade.share * Math.exp(-0.5 * (shadeAway / slit.shade.reach) ** 2) : 0;
    const torn = slit.torn && Math.abs(t) - slit.width / 2 < slit.torn.width ? (bare - 1) * (t < 0 ? slit.torn.left : slit.torn.right) : 0;
    return 1 + lit - shaded + torn;
  };
  const half = profileHalf(blur, step);
  return Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const t = (i - half) * step - slit.at;
    let sum = 0;
    let weights = 0;
    for (let k = Math.ceil(-4 * blur / fine); k <= (4 * blur) / fine; k++) {
      const w = Math.exp(-0.5 * ((k * fine) / blur) ** 2);
      sum += w * light(t + k * fine);
      weights += w;
    }
    return sum / weights + noise();
  });
}

function someSlit(random: Random, at: number): Slit {
  const side = random.between(0, 1) < 0.5 ? -1 : 1;
  return {
    at, width: random.between(0.1, 0.4), light: random.between(0.05, 0.4),
    lip: { side, width: random.between(0.05, 0.2), light: random.between(0, 0.16) },
    shade: { side: -side, reach: random.between(0.1, 0.45), share: random.between(0, 0.15) },
  };
}

describe("placing a slit between its lip and its shade", () => {
  /** A soft slit without lip or shade, seen with a blur of 0.27 mm. */
  const soft = (at: number): Float64Array => {
    const half = profileHalf(0.27, 0.25);
    return Float64Array.from({ length: 2 * half + 1 }, (_, i) => -0.15 * Math.exp(-0.5 * (((i - half) * 0.25 - at) / 0.33) ** 2));
  };

  it("takes no lens that lays the colours beside each other for a lip: dark print is dark in some of them only", () => {
    for (const apart of [-0.05, 0.05]) {
      const place = placeSlit([1, 1.7, 2.4, 2.9].map((bare) => ({ bare, noise: LEAST_NOISE * Math.sqrt(bare), profile: soft(bare > 1 ? apart : 0), apart: 0.04 })), 0.25, 0.27);
      if (!place) throw new Error("not placed");
      expect(Math.abs(place.shift - 0.75 * apart)).toBeLessThan(2 * place.sigma);
    }
  });

  it("places a plain slit in the middle of a profile that is alike on both sides, and better than lips could draw it aside", () => {
    const place = placeSlit([{ profile: soft(0), noise: LEAST_NOISE, bare: 1 }], 0.25, 0.27);
    expect(Math.abs(place?.shift ?? 1)).toBeLessThan(1e-3);
    expect(place?.sigma ?? 1).toBeLessThan(0.1);
  });

  it.each([0.1, 0.2, 0.35])("holds the truth within U in 90 % of slits at least, at a blur of %d mm, where the middle of its darkness does not", (blur) => {
    const random = randomOf(11);
    const step = Math.max(0.05, blur / 2);
    let held = 0;
    let heldByMiddle = 0;
    const errors: number[] = [];
    const middles: number[] = [];
    const n = 120;
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const profile = profileOf(someSlit(random, at), blur, step, () => 0.002 * random.normal());
      const place = placeSlit([{ profile, noise: 0.003, bare: 1 }], step, blur);
      expect(place).not.toBeNull();
      if (!place) return;
      const error = Math.abs(place.shift - at);
      const middle = Math.abs(middleOf(profile, step) - at);
      if (error < 2 * place.sigma) held++;
      if (middle < 2 * place.sigma) heldByMiddle++;
      errors.push(error);
      middles.push(middle);
    }
    const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;
    console.log(`blur ${blur} mm: held ${((100 * held) / n).toFixed(1)} %, by the middle ${((100 * heldByMiddle) / n).toFixed(1)} %; mean error ${mean(errors).toFixed(4)} mm, of the middle ${mean(middles).toFixed(4)} mm`);
    expect(held / n).toBeGreaterThan(0.9);
    expect(heldByMiddle / n).toBeLessThan(0.75);
    expect(mean(errors)).toBeLessThan(0.5 * mean(middles));
  });

  it("tells lip from slit by print of several tones: the error over four grounds is half of that over one", () => {
    const random = randomOf(12);
    const [blur, n] = [0.35, 60];
    const step = blur / 2;
    const error = { one: 0, several: 0 };
    let held = 0;
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const slit = { ...someSlit(random, at), light: 0.05 };
      const seen = [1, 2, 4, 8].map((bare) => ({ bare, noise: 0.003, profile: profileOf(slit, blur, step, () => 0.003 * random.normal(), bare) }));
      const [one, several] = [placeSlit(seen.slice(0, 1), step, blur), placeSlit(seen, step, blur)];
      if (!one || !several) throw new Error("no slit");
      error.one += Math.abs(one.shift - at) / n;
      error.several += Math.abs(several.shift - at) / n;
      if (Math.abs(several.shift - at) < 2 * several.sigma) held++;
    }
    console.log(`one ground ${error.one.toFixed(4)} mm, four ${error.several.toFixed(4)} mm; held ${((100 * held) / n).toFixed(0)} %`);
    expect(error.several).toBeLessThan(0.6 * error.one);
    expect(held / n).toBeGreaterThan(0.9);
  });

  it.each([[0.07, 0.003], [0.2, 0.006]])("places a kerf that takes board away, up to 0.9 mm wide with an uneven floor, at a blur of %d mm: to %d mm in the mean", (blur, most) => {
    const random = randomOf(21);
    const [step, n] = [Math.max(0.05, blur / 2), 60];
    let [held, error] = [0, 0];
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const slit = { ...someSlit(random, at), width: random.between(0.42, 0.9), light: random.between(0.05, 0.16), slope: random.between(-0.04, 0.04) };
      const place = placeSlit([{ profile: profileOf(slit, blur, step, () => 0.002 * random.normal()), noise: 0.003, bare: 1 }], step, blur);
      if (!place) throw new Error("no slit");
      error += Math.abs(place.shift - at) / n;
      if (Math.abs(place.shift - at) < 2 * place.sigma) held++;
    }
    console.log(`wide, blur ${blur} mm: off by ${error.toFixed(4)} mm, held ${((100 * held) / n).toFixed(0)} %`);
    expect(held / n).toBeGreaterThan(0.9);
    expect(error).toBeLessThan(most);
  });

  it("places a faint slit between two rims that shine far more than it is dark, in a sharp scan over dark print: to 0.01 mm in the mean, none farther off than 0.1 mm", () => {
    const random = randomOf(31);
    const [blur, step, bare, n] = [0.07, 0.085, 1.3, 60];
    let [held, error, most] = [0, 0, 0];
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const rim = (): number => random.between(0.15, 0.22);
      const slit = { ...someSlit(random, at), width: random.between(0.08, 0.16), light: random.between(0.2, 0.35), torn: { width: random.between(0.12, 0.2), left: rim() / (bare - 1), right: rim() / (bare - 1) } };
      const place = placeSlit([{ profile: profileOf({ ...slit, lip: { side: 1, width: 0.1, light: 0 }, shade: { side: 1, reach: 0.1, share: 0 } }, blur, step, () => 0.008 * random.normal(), bare), noise: 0.003, bare }], step, blur);
      if (!place) throw new Error("no slit");
      error += Math.abs(place.shift - at) / n;
      most = Math.max(most, Math.abs(place.shift - at));
      if (Math.abs(place.shift - at) < 2 * place.sigma) held++;
    }
    console.log(`bright rims: off by ${error.toFixed(4)} mm, at most ${most.toFixed(3)} mm, held ${((100 * held) / n).toFixed(0)} %`);
    expect(held / n).toBeGreaterThan(0.9);
    expect(error).toBeLessThan(0.01);
    expect(most).toBeLessThan(0.1);
  });

  it("tells print that the blade has torn off, which shows where there is some, from a lip that shines on all grounds", () => {
    const random = randomOf(22);
    const [blur, step, n] = [0.07, 0.1, 60];
    let [held, error] = [0, 0];
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const share = random.between(0.15, 0.5);
      const unequal = random.between(-0.05, 0.05);
      const slit = { ...someSlit(random, at), lip: { side: 1, width: 0.1, light: 0 }, torn: { width: random.between(0.08, 0.2), left: share - unequal, right: share + unequal } };
      const seen = [1, 1.5, 2.2].map((bare) => ({ bare, noise: 0.003, profile: profileOf(slit, blur, step, () => 0.002 * random.normal(), bare) }));
      const place = placeSlit(seen, step, blur);
      if (!place) throw new Error("no slit");
      error += Math.abs(place.shift - at) / n;
      if (Math.abs(place.shift - at) < 2 * place.sigma) held++;
    }
    console.log(`torn print: off by ${error.toFixed(4)} mm, held ${((100 * held) / n).toFixed(0)} %`);
    expect(held / n).toBeGreaterThan(0.85);
    expect(error).toBeLessThan(0.004);
  });

  it("holds the truth in a sharp scan over four grounds, where edges are ragged and the width is none of those tried: nine of ten slits, to 0.002 mm in the mean", () => {
    const random = randomOf(13);
    const [blur, step, n] = [0.0725, 0.1, 60];
    // As wide as it is in twelve places along the slit, which a strip averages.
    const places = Array.from({ length: 12 }, () => random.normal());
    let held = 0;
    let error = 0;
    for (let i = 0; i < n; i++) {
      const at = random.between(-0.05, 0.05);
      const slit = someSlit(random, at);
      const ragged = random.between(0, 0.3);
      const profileOver = (bare: number): Float64Array => {
        const all = places.map((z) => profileOf({ ...slit, width: slit.width * Math.max(0.3, 1 + ragged * z) }, blur, step, () => 0, bare));
        return all[0].map((_, k) => all.reduce((s, profile) => s + profile[k] / all.length, 0.001 * random.normal()));
      };
      const place = placeSlit([1, 1.5, 2.2, 4].map((bare) => ({ bare, noise: LEAST_NOISE, profile: profileOver(bare) })), step, blur);
      if (!place) throw new Error("no slit");
      error += Math.abs(place.shift - at) / n;
      if (Math.abs(place.shift - at) < 2 * place.sigma) held++;
    }
    console.log(`sharp scan: held ${((100 * held) / n).toFixed(0)} %, mean error ${error.toFixed(4)} mm`);
    expect(held / n).toBeGreaterThan(0.85);
    expect(error).toBeLessThan(0.002);
  });

  it("finds a plain slit where it is, too, when it gapes over darker print: what a slit shows of its depth would there be less than nothing", () => {
    const plain = (at: number, width: number): Slit => ({ at, width, light: 0.04, lip: { side: 1, width: 0, light: 0 }, shade: { side: 1, reach: 0.1, share: 0 } });
    const random = randomOf(14);
    for (let i = 0; i < 20; i++) {
      const at = random.between(-0.05, 0.05);
      const over = ([[1, 0.14], [1.7, 0.16], [2.4, 0.26]] as const).map(([bare, width]) => ({ bare, noise: 0.03, profile: profileOf(plain(at, width), 0.09, 0.1, () => 0.02 * random.normal(), 1) }));
      expect(Math.abs((placeSlit(over, 0.1, 0.09)?.shift ?? 1) - at)).toBeLessThan(0.025);
    }
  });

  it("says of a plain slit that it lies where it is, with less doubt than of slits that have rims", () => {
    const plain: Slit = { at: 0.03, width: 0.3, light: 0.5, lip: { side: 1, width: 0, light: 0 }, shade: { side: 1, reach: 0.1, share: 0 } };
    const place = placeSlit([{ profile: profileOf(plain, 0.12, 0.06, () => 0), noise: 0.003, bare: 1 }], 0.06, 0.12);
    expect(Math.abs((place?.shift ?? 1) - 0.03)).toBeLessThan(0.003);
    expect(place?.sigma ?? 1).toBeLessThan(0.8 * slitDoubt(0.3, 0.5, 0.12));
    expect(slitDoubt(0.3, 0.5, 0.1)).toBeLessThan(slitDoubt(0.3, 0.5, 0.2));
  });

  it("leaves about the doubt that is foretold to slits as they come", () => {
    const random = randomOf(16);
    const ratios = Array.from({ length: 60 }, () => {
      const slit = someSlit(random, random.between(-0.05, 0.05));
      const sigma = placeSlit([{ profile: profileOf(slit, 0.12, 0.06, () => 0.003 * random.normal()), noise: 0.003, bare: 1 }], 0.06, 0.12)?.sigma ?? 0;
      return sigma / slitDoubt(slit.width, 1 - slit.light, 0.12);
    }).sort((a, b) => a - b);
    console.log(`doubt over the one foretold: median ${ratios[30].toFixed(2)}, from ${ratios[3].toFixed(2)} to ${ratios[56].toFixed(2)}`);
    expect(ratios[30]).toBeGreaterThan(0.7);
    expect(ratios[30]).toBeLessThan(1.4);
  });

  it("places nothing where there is no slit", () => {
    expect(placeSlit([{ profile: new Float64Array(41).fill(1), noise: 0.003, bare: 1 }], 0.05, 0.1)?.sigma ?? Infinity).toBeGreaterThan(TELLS_NOTHING);
  });
});

/** Centre of gravity of the darkness. */
function middleOf(profile: Float64Array, step: number): number {
  let sum = 0;
  let moment = 0;
  profile.forEach((v, i) => {
    sum += 1 - v;
    moment += (1 - v) * (i - (profile.length >> 1)) * step;
  });
  return moment / sum;
}
