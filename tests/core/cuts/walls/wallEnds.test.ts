import { describe, expect, it } from "vitest";
import { locate } from "../../../../core/cuts/locate.ts";
import { stripGrid } from "../../../../core/cuts/strips/strip.ts";
import type { TracedChunk, TracedPath } from "../../../../core/cuts/trace.ts";
import { withWallEnds } from "../../../../core/cuts/walls/wallEnds.ts";
import { integral } from "../../../../core/image/normal.ts";
import { randomOf } from "../../../../core/sample/random.ts";
import { chunkWith } from "../profile.ts";

const grid = stripGrid(3, 7, 0);
const [WIDTH, WALL] = [0.15, 0.24];
const random = randomOf(21);

/** A face's edge in its place, its wall as dark as the table beyond, its rim lit by so much (linear light) along 0.14 mm. */
function traced(k: number, rim: number): TracedChunk {
  const plain = chunkWith({ at: 0, width: WIDTH, depth: 0 }, 5 * k + 2.5, grid);
  const profile = plain.profile.map((_, i) => {
    const step = (at: number): number => integral((i * grid.step - grid.reach - at) / WIDTH);
    return 0.4 - 0.35 * step(0) + rim * (step(-0.14) - step(0)) + 0.03 * step(WALL + 0.8) + 0.001 * random.normal();
  });
  const chunk = { ...plain, profile, wall: WALL };
  const found = locate(chunk, grid, "step", 0, WIDTH);
  return { chunk, found: found !== null, t: found?.t ?? 0, sigma: found?.sigma ?? 0, bias: 0, significance: found?.significance ?? 0, share: -0.9 };
}

const pathOf = (chunks: readonly TracedChunk[]): TracedPath => ({ feature: "blank", kind: "cut", look: "step", closed: true, away: 1, length: 5 * chunks.length, width: WIDTH, chunks });

describe("a wall that looks the same along a side", () => {
  const path = pathOf(Array.from({ length: 12 }, (_, k) => traced(k, k < 9 ? 0 : 0.06)));

  it("tells where those edges lie whose lit rim passes for a bright wall, which lies inside", () => {
    const lit = path.chunks.slice(9);
    for (const c of lit) expect(c.t).toBeLessThan(-0.1);
    const [told] = withWallEnds([path], [path.chunks.map(() => 0)], grid);
    for (const { chunk } of told.chunks) {
      expect(Math.abs(chunk.wallEnd ?? 1)).toBeLessThan(0.05);
      const found = locate(chunk, grid, "step", 0, WIDTH);
      expect(Math.abs(found?.t ?? 1)).toBeLessThan(0.04);
      expect(found?.sigma).toBeLessThan(0.03);
    }
  });

  it("is not told by fewer chunks than can be believed, nor by those that were found elsewhere", () => {
    const few = pathOf(path.chunks.slice(7));
    expect(withWallEnds([few], [few.chunks.map(() => 0)], grid)).toEqual([few]);
    const elsewhere = pathOf(path.chunks.map((c) => ({ ...c, t: -WALL })));
    expect(withWallEnds([elsewhere], [elsewhere.chunks.map(() => 0)], grid)).toEqual([elsewhere]);
  });
});
