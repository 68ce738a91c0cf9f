import { expect, it } from "vitest";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { unbiased } from "../../../../core/cuts/lips/unbiased.ts";
import { integral } from "../../../../core/image/normal.ts";
import { chunkWith, grid } from "../profile.ts";

/** A stripped piece's outline with twenty chunks to the right and twenty to the left, of which `found` to the right are seen. */
function outline(found: number, hued: boolean): TracedPath {
  const chunks = Array.from({ length: 40 }, (_, k): TracedChunk => {
    const chunk = { ...chunkWith({ at: 0, width: 0.2, depth: 0, step: 0.4 }, 5 * k), nx: k < 20 ? 1 : -1, ny: 0, ...(hued ? { hued } : {}) };
    return { chunk, found: k >= 20 || k < found, t: 0, sigma: 0.01, bias: 0, significance: 40, share: 0.7 };
  });
  return { feature: "blank", kind: "cut", look: "step", closed: true, away: 1, length: 200, chunks, width: 0.25 };
}

const looked = (path: TracedPath): TracedPath => unbiased([path], grid, 0.2, [path.chunks.map(() => 0)])[0];

it("a side of a stripped piece of which less than half is seen may be its shadow's end, and is in doubt by that; the side opposite is not", () => {
  const [half, most] = [looked(outline(8, false)), looked(outline(12, false))];
  expect(half.chunks[3].sigma).toBeGreaterThan(0.3);
  expect(half.chunks[30].sigma).toBeLessThan(0.05);
  expect(most.chunks[3].sigma).toBeLessThan(0.05);
  expect(half.chunks[3].lip).toBeGreaterThan(0.3);
  expect(half.chunks[30].lip).toBeLessThan(0.05);
});

it("an edge sought in hues is in doubt by half a pixel", () => {
  const { chunks: [chunk] } = looked(outline(20, true));
  expect(chunk.sigma).toBeCloseTo(Math.hypot(0.01, 0.5 / chunk.chunk.scale), 2);
  expect(chunk.lip).toBeGreaterThan(0.5 / chunk.chunk.scale);
});

it("the edges of a hole over something lighter than its board are in doubt by its wall and shadow; over something darker they are not", () => {
  const hole = (share: number): TracedPath => {
    const path = outline(20, false);
    return { ...path, away: -1, chunks: path.chunks.map((c) => ({ ...c, share })) };
  };
  expect(looked(hole(-0.7)).chunks[3].sigma).toBeGreaterThan(0.14);
  expect(looked(hole(0.7)).chunks[3].sigma).toBeLessThan(0.05);
});

it("a piece as dark as its shadow is in doubt on every side alike; one that is not so dark shows its shadow, in a mix of planes that is turned over too", () => {
  const piece = (face: number, table: number, turned = 1): TracedPath => {
    const path = outline(20, false);
    const light = (i: number): number => turned * (face + (table - face) * integral((i * grid.step - grid.reach) / 0.2));
    return { ...path, chunks: path.chunks.map((c) => ({ ...c, share: 20, chunk: { ...c.chunk, profile: Float32Array.from({ length: grid.count }, (_, i) => light(i)) } })) };
  };
  const [black, grey, turned] = [looked(piece(0.03, 0.7)), looked(piece(0.4, 0.7)), looked(piece(0.4, 0.7, -1))];
  expect(black.chunks[3].lip).toBeGreaterThan(0.14);
  expect(grey.chunks[3].lip).toBeLessThan(0.06);
  expect(turned.chunks[3].lip).toBeLessThan(0.06);
  expect(black.chunks[3].sigma).toBeCloseTo(grey.chunks[3].sigma, 2);
});

it("a slit that has left its place is not drawn to where the others of its direction lie, nor they to it, be its ground of another tone or not", () => {
  const slit = (feature: string, at: number, ground: number, chunks: number): TracedPath => ({
    feature, kind: "cut", look: "line", closed: false, away: 0, length: 5 * chunks, width: 0.25,
    chunks: Array.from({ length: chunks }, (_, k): TracedChunk => ({ chunk: { ...chunkWith({ at, width: 0.25, depth: 0.3 * ground, ground }, 5 * k) }, found: true, t: at, sigma: 0.01, bias: 0, significance: 40, share: -0.3 })),
  });
  for (const ground of [0.8, 0.66]) {
    const paths = [slit("others", 0, 0.8, 24), slit("left", 0.1, ground, 14)];
    const [others, left] = unbiased(paths, grid, 0.2, paths.map(({ chunks }) => chunks.map(() => 0)));
    for (const { t } of others.chunks) expect(Math.abs(t)).toBeLessThan(0.01);
    for (const { t } of left.chunks) expect(Math.abs(t - 0.1)).toBeLessThan(0.01);
  }
});
