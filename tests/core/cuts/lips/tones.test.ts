import { expect, it } from "vitest";
import { toned } from "../../../../core/cuts/lips/tones.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { chunkWith, grid } from "../profile.ts";

/** A chunk of a slit whose own light is 0.1 over ground of that light, found in its place. */
function slitOver(ground: number): TracedChunk {
  return { chunk: { ...chunkWith({ at: 0, width: 0.1, depth: ground - 0.1, ground }), own: 0.1 }, found: true, t: 0, sigma: 0.01, bias: 0, significance: 20, share: -1 };
}

it("slits are toned by how dark their ground is against that of most; one brighter than its ground has no tone, and counts in none", () => {
  const grounds = [0.8, 0.8, 0.8, 0.4, 0.05, 0.05, 0.05, 0.05];
  const [{ chunks }] = toned([{ kind: "cut", look: "line", chunks: grounds.map(slitOver) } as unknown as TracedPath], grid, 0.1);
  expect(chunks.map((c) => c.bright ?? false)).toEqual([false, false, false, false, true, true, true, true]);
  expect(chunks.slice(0, 3).map((c) => c.tone)).toEqual([0, 0, 0]);
  expect(chunks[3].tone).toBeCloseTo(Math.LN2, 3);
  expect(chunks.slice(4).every((c) => c.tone === undefined)).toBe(true);
});
