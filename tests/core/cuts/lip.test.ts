import { describe, expect, it } from "vitest";
import { doubted, lipBias, type SeenSlit } from "../../../core/cuts/lip.ts";
import { lipsTogether } from "../../../core/cuts/lipsTogether.ts";
import type { Chunk } from "../../../core/cuts/strip.ts";
import { integral } from "../../../core/image/normal.ts";
import { gaussian } from "../../support/gaussian.ts";
import { chunkWith, grid } from "./profile.ts";

const SLIT = 0.25;

/** Slits of a quarter millimetre in the middle of their strips, seen with a given blur, beside a lip (its light as a share of the board's) or a printed edge 1.2 mm away. */
function slits(blur: number, lip: number, edge: number): SeenSlit[] {
  const noise = gaussian(3);
  const band = (t: number, from: number, to: number): number => integral((t - from) / blur) - integral((t - to) / blur);
  return Array.from({ length: 40 }, () => {
    const plain = chunkWith({ at: 0, width: blur, depth: 0 });
    const profile = plain.profile.map((_, i) => {
      const t = i * grid.step - grid.reach;
      return 0.8 * (1 - band(t, -SLIT / 2, SLIT / 2) + lip * band(t, SLIT / 2, SLIT / 2 + 0.15) - edge * integral((t - 1.2) / blur)) + 0.002 * noise();
    });
    const chunk: Chunk = { ...plain, profile };
    return { chunk, t: 0, expected: 0, inColour: false };
  });
}

/** What the chunks of one direction would be moved by, with how surely. */
function moved(blur: number, lip: number, edge: number): { shift: number; sigma: number } {
  const own = lipBias(slits(blur, lip, edge), grid, blur, 0.8);
  return doubted(lipsTogether(Array.from({ length: 16 }, (_, k) => (k === 0 ? own : null)))[0], blur);
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

  it("all of a large shift where blur hides what made it, and hardly any where it does not", () => {
    expect(doubted({ shift: 0.06, sigma: 0.01 }, 0.4).sigma).toBeGreaterThan(0.055);
    expect(doubted({ shift: 0.06, sigma: 0.002 }, 0.06).sigma).toBeLessThan(0.0022);
  });

  it("sees a lip where the picture is sharp enough to show it", () => {
    const bare = moved(0.07, 0, 0);
    const lit = moved(0.07, 0.12, 0);
    expect(Math.abs(bare.shift)).toBeLessThan(0.004);
    expect(lit.sigma).toBeLessThan(0.008);
    expect(Math.abs(lit.shift)).toBeLessThan(2 * lit.sigma + 0.002);
  });
});
