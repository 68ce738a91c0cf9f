import { describe, expect, it } from "vitest";
import { shadowEnds } from "../../../../core/cuts/shadows/shadowEnds.ts";
import type { TracedChunk } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.12;
const edge = (t: number): number => integral(t / WIDTH);

/** A chunk of a stripped piece's outline facing (nx, ny): a face of light 0.3 on a table of 0.4, with a shadow of light 0.08 so wide between them (mm); its end is what was found. */
function outline(nx: number, ny: number, shadow: number): TracedChunk {
  const profile = Float32Array.from({ length: grid.count }, (_, i) => {
    const t = i * grid.step - grid.reach;
    return shadow === 0 ? 0.3 + 0.1 * edge(t) : 0.3 - 0.22 * edge(t) + 0.32 * edge(t - shadow);
  });
  return { chunk: { ...chunkWith({ at: 0, width: WIDTH, depth: 0 }), nx, ny, profile }, found: true, t: shadow, sigma: 0.01, bias: 0, significance: 30, share: 0.3 };
}

const SIDES = [[1, 0], [0, 1], [-1, 0], [0, -1]] as const;
const pathOf = (shadows: readonly number[]) => ({ away: 1 as const, width: WIDTH, chunks: SIDES.flatMap(([nx, ny], k) => Array.from({ length: 5 }, () => outline(nx, ny, shadows[k]))) });

describe("ends of a stripped piece's shadow", () => {
  it("are told on the sides away from the light, narrow or wide", () => {
    expect([...shadowEnds(pathOf([1.2, 0.6, 0, 0]), grid)].sort((a, b) => a - b)).toEqual([0, 4]);
  });

  it("are none where the piece lies in even light", () => {
    expect(shadowEnds(pathOf([0, 0, 0, 0]), grid).size).toBe(0);
  });

  it("are not what runs all round: that is the piece's own print", () => {
    expect(shadowEnds(pathOf([1, 1, 1, 1]), grid).size).toBe(0);
  });
});
