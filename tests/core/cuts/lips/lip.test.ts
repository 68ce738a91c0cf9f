import { describe, expect, it } from "vitest";
import { lipBias, type Seen } from "../../../../core/cuts/lips/lip.ts";
import { lipsTogether } from "../../../../core/cuts/lips/lipsTogether.ts";
import type { Chunk } from "../../../../core/cuts/strips/strip.ts";
import { integral } from "../../../../core/image/normal.ts";
import { gaussian } from "../../../support/gaussian.ts";
import { chunkWith, grid } from "../profile.ts";

const SLIT = 0.25;

/** Slits of a quarter millimetre in the middle of their strips, seen with a given blur, beside a lip (its light as a share of the board's), a printed edge so far `away`, mm, and a printed line (its darkness) 0.6 mm away. */
function slits(blur: number, lip: number, edge: number, line = 0, away = 1.2): Seen[] {
  const noise = gaussian(3);
  const band = (t: number, from: number, to: number): number => integral((t - from) / blur) - integral((t - to) / blur);
  return Array.from({ length: 40 }, () => {
    const plain = chunkWith({ at: 0, width: blur, depth: 0 });
    const profile = plain.profile.map((_, i) => {
      const t = i * grid.step - grid.reach;
      return 0.8 * (1 - band(t, -SLIT / 2, SLIT / 2) + lip * band(t, SLIT / 2, SLIT / 2 + 0.15) - edge * integral((t - away) / blur) - line * band(t, 0.5, 0.7)) + 0.002 * noise();
    });
    const chunk: Chunk = { ...plain, profile };
    return { chunk, t: 0, expected: 0 };
  });
}

/** What the chunks of one direction would be moved by, with how surely. */
function moved(blur: number, lip: number, edge: number, line = 0): { shift: number; sigma: number } {
  const own = lipBias(slits(blur, lip, edge, line), grid, blur, 0.8);
  return lipsTogether(Array.from({ length: 16 }, (_, k) => (k === 0 ? own : null)))[0];
}

describe("what a lip is taken to do", () => {
  it("is in doubt where a printed edge beside a blurred slit may be taken for one", () => {
    for (const blur of [0.25, 0.35, 0.5]) {
      for (const edge of [-0.08, -0.04, 0.04, 0.08]) {
        const { shift, sigma } = moved(blur, 0, edge);
        expect(Math.abs(shift)).toBeLessThan(2 * sigma);
      }
    }
  });

  it("is not told where the print ends beside the slit and bare board begins, which the lip's model does not know", () => {
    for (const away of [0.5, 0.6, 0.75]) expect(lipBias(slits(0.1, 0, -1.2, 0, away), grid, 0.1, 1.8)).toBeNull();
    expect(lipBias(slits(0.1, 0, -0.3, 0, 0.6), grid, 0.1, 1.8)).not.toBeNull();
  });

  it("is in doubt by what its model leaves over, as of a printed line beside the slit, and by no more: a lip alone under much blur is known", () => {
    const [none, faint, plain] = [0, 0.15, 0.3].map((line) => moved(0.25, 0, 0, line));
    expect(faint.sigma).toBeGreaterThan(1.03 * none.sigma);
    expect(plain.sigma).toBeGreaterThan(1.3 * none.sigma);
    expect(Math.abs(plain.shift)).toBeLessThan(3 * plain.sigma);
    expect(moved(0.35, 0.1, 0).sigma).toBeLessThan(0.025);
  });

  it("is in doubt by what differs from tone to tone as by noise only, where that is no more than noise: a lip is alike in all", () => {
    const blur = 0.25;
    const band = (t: number, from: number, to: number): number => integral((t - from) / blur) - integral((t - to) / blur);
    /** Over four tones a printed line of the given darkness lies beside the slit, in every other tone on the other side. */
    const beside = (line: number): { shift: number; sigma: number } => {
      const noise = gaussian(5);
      const seen = Array.from({ length: 80 }, (_, k): Seen => {
        const tone = k % 4;
        const plain = chunkWith({ at: 0, width: blur, depth: 0 });
        const profile = plain.profile.map((_v, i) => {
          const t = (tone % 2 === 0 ? 1 : -1) * (i * grid.step - grid.reach);
          return 0.8 * 0.6 ** tone * (1 - band(t, -SLIT / 2, SLIT / 2) - line * band(t, 0.5, 0.7)) + 0.01 * noise();
        });
        return { chunk: { ...plain, profile }, t: 0, expected: 0 };
      });
      return lipBias(seen, grid, blur, 0.8) ?? { shift: NaN, sigma: NaN };
    };
    const [faint, plain] = [0.05, 0.3].map(beside);
    // Where all that the model leaves over counts it is 0.026.
    expect(faint.sigma).toBeLessThan(0.018);
    expect(plain.sigma).toBeGreaterThan(0.04);
    for (const { shift, sigma } of [faint, plain]) expect(Math.abs(shift)).toBeLessThan(2 * sigma);
  });

  it("sees a lip where the picture is sharp enough to show it", () => {
    const bare = moved(0.07, 0, 0);
    const lit = moved(0.07, 0.12, 0);
    expect(Math.abs(bare.shift)).toBeLessThan(0.004);
    expect(lit.sigma).toBeLessThan(0.008);
    expect(Math.abs(lit.shift)).toBeLessThan(2 * lit.sigma + 0.002);
  });
});
