import { describe, expect, it } from "vitest";
import { directionOf } from "../../../../core/cuts/directions.ts";
import { endsByHue } from "../../../../core/cuts/shadows/hueEdges.ts";
import { locate } from "../../../../core/cuts/locate.ts";
import type { Colours } from "../../../../core/cuts/strips/strip.ts";
import type { TracedChunk } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";
import { gaussian } from "../../../support/gaussian.ts";
import { chunkWith, grid } from "../profile.ts";

const WIDTH = 0.3;
const KRAFT = [0.23, 0.15, 0.08];
const TABLE = [0.37, 0.37, 0.35];
/** Kraft against a neutral table, whatever light falls on that. */
const HUE = { mix: [0.46, -0.2, -0.34] as const, bare: 0.05 };
const SIDES = [[1, 0], [0, 1], [-1, 0], [0, -1]] as const;

/** A stripped kraft piece whose edge lies at 0.1 mm, seen with noise, its shadow `shadows` mm wide on each side; in grey only the shadow's end is found. */
function piece(shadows: readonly number[], noise: () => number) {
  const chunks = SIDES.flatMap(([nx, ny], side) => Array.from({ length: 18 }, (_, k): TracedChunk => {
    const colours: Colours = (about, half, step) => [0, 1, 2].map((plane) => Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
      const t = about + (i - half) * step - 0.1;
      const outside = integral(t / WIDTH);
      const shaded = shadows[side] > 0 ? 0.45 * integral((shadows[side] - t) / WIDTH) : 0;
      return KRAFT[plane] * (1 - outside) + TABLE[plane] * (1 - shaded) * outside + 0.006 * noise();
    }));
    return { chunk: { ...chunkWith({ at: 0, width: WIDTH, depth: 0 }, 5 * (18 * side + k)), nx, ny, colours }, found: true, t: 0.1 + shadows[side], sigma: 0.01, bias: 0, significance: 30, share: 0.3 };
  }));
  return { away: 1 as const, width: WIDTH, chunks };
}

describe("the end of a shadow that is as light as the piece", () => {
  it("is told from the piece's edge by the hue, and the edge is found there", () => {
    const ends = endsByHue(piece([0.8, 0, 0, 0.5], gaussian(3)), HUE, grid);
    expect([...ends.keys()].sort((a, b) => a - b)).toEqual([0, 12]);
    for (const chunks of ends.values()) {
      expect(chunks).toHaveLength(18);
      for (const chunk of chunks) {
        expect(chunk.shared).toBe(6);
        expect(Math.abs((locate(chunk, grid, "step", 0.2, WIDTH)?.t ?? 9) - 0.1)).toBeLessThan(0.06);
        expect([0, 12]).toContain(directionOf(chunk));
      }
    }
  });

  it("is none in even light", () => {
    expect(endsByHue(piece([0, 0, 0, 0], gaussian(4)), HUE, grid).size).toBe(0);
  });

  it("is not told in a grey picture", () => {
    const { chunks, ...path } = piece([0.8, 0, 0, 0], gaussian(5));
    const grey = chunks.map(({ chunk: { colours: _colours, ...chunk }, ...c }) => ({ ...c, chunk }));
    expect(endsByHue({ ...path, chunks: grey }, HUE, grid).size).toBe(0);
  });
});
