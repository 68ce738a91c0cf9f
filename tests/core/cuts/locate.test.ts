import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitAt, locate, profileWidth } from "../../../core/cuts/locate.ts";
import { randomOf } from "../../../core/sample/random.ts";
import { stripGrid, type Chunk } from "../../../core/cuts/strips/strip.ts";
import { band, slopeWithin } from "../../../core/cuts/profile/blurred.ts";
import { chunkWith, grid } from "./profile.ts";

describe("locating a cut across its path", () => {
  it("finds a clean slit anywhere, dark or bright, to a thousandth of its width", () => {
    fc.assert(fc.property(fc.double({ min: -0.4, max: 0.4, noNaN: true }), fc.double({ min: 0.2, max: 0.5, noNaN: true }), fc.constantFrom(0.3, -0.1), (at, width, depth) => {
      const found = locate(chunkWith({ at, width, depth }), grid, "line", at + 0.15, width);
      expect(found).not.toBeNull();
      expect(Math.abs((found?.t ?? 1) - at)).toBeLessThan(0.001 * width);
    }));
  });

  it("is drawn less by a shade on one side than a fit that does not know of it", () => {
    const across = { at: 0.1, width: 0.3, depth: 0.2, step: 0.03 };
    const held = locate(chunkWith(across), grid, "line", 0, 0.3);
    const plain = locate(chunkWith(across), { ...grid, uneven: 0 }, "line", 0, 0.3);
    const [drawn, undrawn] = [Math.abs((plain?.t ?? 0) - 0.1), Math.abs((held?.t ?? 1) - 0.1)];
    expect(drawn).toBeGreaterThan(0.01);
    expect(undrawn).toBeLessThan(0.3 * drawn);
  });

  it("states the scatter that repeated noise shows, a little more rather than less", () => {
    const random = randomOf(7);
    const found = Array.from({ length: 400 }, () => locate(chunkWith({ at: 0, width: 0.3, depth: 0.2, noise: () => 0.01 * random.normal() }), grid, "line", 0.05, 0.3));
    const seen = found.filter((f) => f !== null);
    const spread = Math.sqrt(seen.reduce((s, f) => s + f.t ** 2, 0) / seen.length);
    const stated = Math.sqrt(seen.reduce((s, f) => s + f.sigma ** 2, 0) / seen.length);
    expect(seen.length).toBe(400);
    expect(stated / spread).toBeGreaterThan(0.9);
    expect(stated / spread).toBeLessThan(1.5);
  });

  it("says how far off a faint slit lies from one look in the expected place, without bias by a search", () => {
    const random = randomOf(11);
    const moves = Array.from({ length: 2000 }, () => {
      const fit = fitAt(chunkWith({ at: 0.05, width: 0.3, depth: 0.02, noise: () => 0.01 * random.normal() }), grid, "line", 0, 0.3);
      return fit ? (fit.move * fit.amplitude) / -0.02 : 0;
    });
    const mean = moves.reduce((s, v) => s + v, 0) / moves.length;
    const error = Math.sqrt(moves.reduce((s, v) => s + (v - mean) ** 2, 0)) / moves.length;
    expect(Math.abs(mean - 0.05)).toBeLessThan(4 * error);
  });
});

describe("how broad a picture's slits are", () => {
  const BLUR = 0.07;
  const fine = stripGrid(3, 12);
  const random = randomOf(9);
  /** Chunks across slits of one width, with their floors' slope and noise, in a sharp scan; and starts up to 0.3 mm off. */
  const slits = (width: number): { chunks: Chunk[]; starts: number[] } => {
    const starts = Array.from({ length: 20 }, () => random.between(-0.3, 0.3));
    const chunks = starts.map((_, k): Chunk => {
      const plain = chunkWith({ at: 0, width: 1, depth: 0, ground: 0.5, noise: () => 0.003 * random.normal() }, 5 * k, fine);
      return { ...plain, profile: plain.profile.map((v, i) => {
        const t = i * fine.step - fine.reach;
        return v - 0.45 * band(t, -width / 2, width / 2, BLUR) + 0.03 * slopeWithin(t, width / 2, BLUR);
      }) };
    });
    return { chunks, starts };
  };

  it.each([0.15, 0.3, 0.6, 0.9])("is told of slits %d mm wide, from starts anywhere in them, so that each is found in its middle", (width) => {
    const { chunks, starts } = slits(width);
    const found = profileWidth(chunks, starts.map((t) => t * Math.min(1, width)), fine, "line", BLUR);
    const box = Math.hypot(BLUR, width / Math.sqrt(12));
    expect(found / box).toBeGreaterThan(0.7);
    expect(found / box).toBeLessThan(1.5);
    for (const [k, chunk] of chunks.entries()) expect(Math.abs(locate(chunk, fine, "line", 0.5 * starts[k] * Math.min(1, width), found)?.t ?? 1)).toBeLessThan(0.03);
  });
});
