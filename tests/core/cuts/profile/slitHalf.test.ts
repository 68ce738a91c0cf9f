import fc from "fast-check";
import { expect, test } from "vitest";
import { profileWidth } from "../../../../core/cuts/locate.ts";
import { band } from "../../../../core/cuts/profile/blurred.ts";
import { halfOf, shareOfHalf } from "../../../../core/cuts/profile/slitHalf.ts";
import { stripGrid, type Chunk } from "../../../../core/cuts/strips/strip.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import { gaussian } from "../../../support/gaussian.ts";

const PX_PER_MM = 11.8;
const BLUR = 0.8 / PX_PER_MM;
const grid = stripGrid(3, PX_PER_MM);

/** Slits of half a given width, mm, over board whose light beyond them is `beyond` of that before. */
function slits(half: number, count: number, beyond = 1): TracedPath {
  const noise = gaussian(3);
  const chunk = (k: number): Chunk => ({
    s: 5 * k, length: 5, x: 0, y: 5 * k, nx: 1, ny: 0, tx: 0, ty: 1, curvature: 0, stations: 20, ux: 1, uy: 0, scale: PX_PER_MM,
    profile: Float32Array.from({ length: grid.count }, (_, i) => {
      const t = i * grid.step - grid.reach;
      return 0.8 * (t > 0 ? beyond : 1) * (1 - 0.7 * band(t, -half, half, BLUR)) + 0.002 * noise();
    }),
  });
  const chunks = Array.from({ length: count }, (_, k) => chunk(k));
  const width = profileWidth(chunks, chunks.map(() => 0), grid, "line", BLUR);
  return { feature: "blank", kind: "cut", look: "line", closed: true, away: 0, length: 5 * count, width, chunks: chunks.map((c) => ({ chunk: c, found: true, t: 0, sigma: 0.01, bias: 0, significance: 40, share: -0.7 })) };
}

test("the slits' own half width is told to a seventh, where the normal curve fitted to them is broader than they are", () => {
  fc.assert(fc.property(fc.double({ min: 0.1, max: 0.35, noNaN: true }), (half) => {
    const path = slits(half, 12);
    const found = shareOfHalf([path], grid, BLUR) * halfOf(path.width, BLUR);
    expect(Math.abs(found / half - 1)).toBeLessThan(1 / 7);
  }));
  expect(halfOf(slits(0.22, 12).width, BLUR)).toBeGreaterThan(1.25 * 0.22);
});

test("it stays what the profile says where too few are seen over even ground", () => {
  expect(shareOfHalf([slits(0.22, 5)], grid, BLUR)).toBe(1);
  expect(shareOfHalf([slits(0.22, 12, 0.6)], grid, BLUR)).toBe(1);
});
