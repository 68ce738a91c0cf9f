import fc from "fast-check";
import { expect, test } from "vitest";
import { beyondDarkest, type CreaseChunk } from "../../../../core/cuts/creases/flanks.ts";
import { locate } from "../../../../core/cuts/locate.ts";
import { stripGrid, type Chunk } from "../../../../core/cuts/strips/strip.ts";
import { gaussian } from "../../../support/gaussian.ts";

const grid = stripGrid(3, 8);

/** Pieces of a crease in 0, of a given sigma (mm) and depth over grounds of several tones, one flank brighter than the other by `unlike` of its depth; found where a symmetric line lies. */
function creasesOf({ sigma, depth, unlike, noise = 0.004, count = 14 }: { sigma: number; depth: number; unlike: number; noise?: number; count?: number }): CreaseChunk[] {
  const scatter = gaussian(9);
  return Array.from({ length: count }, (_, k): CreaseChunk => {
    const ground = 0.25 + 0.04 * k;
    const profile = Float32Array.from({ length: grid.count }, (_, i) => {
      const z = (i * grid.step - grid.reach) / sigma;
      return ground * (1 - depth * (1 - unlike * z) * Math.exp(-0.5 * z * z)) + noise * scatter();
    });
    const chunk: Chunk = { s: 5 * k, length: 5, x: 0, y: 5 * k, nx: 1, ny: 0, tx: 0, ty: 1, curvature: 0, profile, stations: 20, ux: 1, uy: 0, scale: 8 };
    return { chunk, t: locate(chunk, grid, "crease", 0, sigma)?.t ?? NaN, width: sigma };
  });
}
const middle = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1];

test("a crease with a bright and a dark flank lies between them, and not where it is darkest", () => {
  fc.assert(fc.property(fc.double({ min: 0.35, max: 0.6, noNaN: true }), fc.double({ min: 0.08, max: 0.25, noNaN: true }), fc.double({ min: -1, max: 1, noNaN: true }), (sigma, depth, unlike) => {
    const creases = creasesOf({ sigma, depth, unlike });
    expect(Math.abs(middle(creases.map((c) => c.t)) + beyondDarkest(creases, grid))).toBeLessThan(0.06 + 0.05 * Math.abs(unlike));
  }), { numRuns: 40 });
  expect(Math.abs(middle(creasesOf({ sigma: 0.45, depth: 0.15, unlike: 0.8 }).map((c) => c.t)))).toBeGreaterThan(0.15);
});

test("too few pieces, and ground too dark to divide by, leave it where it was found", () => {
  expect(beyondDarkest(creasesOf({ sigma: 0.45, depth: 0.15, unlike: 0.8, count: 5 }), grid)).toBe(0);
  const dark = creasesOf({ sigma: 0.45, depth: 0.15, unlike: 0.8 }).map((c) => ({ ...c, chunk: { ...c.chunk, profile: c.chunk.profile.map((v) => 0.03 * v) } }));
  expect(beyondDarkest(dark, grid)).toBe(0);
});
