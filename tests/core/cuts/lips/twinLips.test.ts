import { expect, it } from "vitest";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { haveTwinLips } from "../../../../core/cuts/lips/twinLips.ts";
import { chunkWith, grid } from "../profile.ts";

/** A path found by a line at t mm, with more light or less at places beside it: [mm, light]. */
function foundAt(t: number, beside: readonly (readonly [number, number])[]): TracedPath {
  const chunks = Array.from({ length: 12 }, (_, k): TracedChunk => {
    const chunk = chunkWith({ at: t, width: 0.08, depth: -0.2, ground: 0.33 }, 5 * k);
    const profile = chunk.profile.map((v, i) => beside.reduce((sum, [at, light]) => sum + light * Math.exp(-0.5 * ((i * grid.step - grid.reach - at) / 0.08) ** 2), v));
    return { chunk: { ...chunk, profile }, found: true, t, sigma: 0.02, bias: 0, significance: 10, share: 0.6 };
  });
  return { feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 60, chunks, width: 0.1 };
}

it("a bright line is one of two lips where the slit lies dark between them; it is none with a shade beside it, nor alone", () => {
  expect(haveTwinLips([foundAt(0.3, [[0, -0.12], [-0.3, 0.1]])], grid)).toBe(true);
  expect(haveTwinLips([foundAt(0.3, [[0, -0.12]])], grid)).toBe(false);
  expect(haveTwinLips([foundAt(0.3, [[-0.3, 0.1]])], grid)).toBe(false);
  expect(haveTwinLips([foundAt(0, [])], grid)).toBe(false);
  expect(haveTwinLips([], grid)).toBe(false);
});

it("most directions must show it", () => {
  const turned = (path: TracedPath, nx: number, ny: number): TracedPath => ({ ...path, chunks: path.chunks.map((c) => ({ ...c, chunk: { ...c.chunk, nx, ny } })) });
  const [twin, single] = [foundAt(0.3, [[0, -0.12], [-0.3, 0.1]]), foundAt(0, [])];
  expect(haveTwinLips([twin, turned(twin, 0, 1), turned(single, -1, 0)], grid)).toBe(true);
  expect(haveTwinLips([twin, turned(single, 0, 1), turned(single, -1, 0)], grid)).toBe(false);
});
