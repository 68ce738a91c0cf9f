import fc from "fast-check";
import { expect, test } from "vitest";
import { narrowShade } from "../../../../core/cuts/shadows/narrowShade.ts";
import type { Chunk, StripGrid } from "../../../../core/cuts/strips/strip.ts";
import type { TracedChunk } from "../../../../core/cuts/trace.ts";
import { integral } from "../../../../core/image/normal.ts";

const grid: StripGrid = { reach: 3, step: 0.06, count: 101, uneven: 0 };
const KRAFT = [0.44, 0.29, 0.16];
const CREAM = [0.73, 0.64, 0.49];

interface Look {
  /** How wide a shadow lies on the table beside the face, mm, and which share of its light it takes. */
  readonly width: number;
  readonly takes: number;
  readonly blur: number;
  readonly pxPerMm: number;
  readonly away: 1 | -1;
  readonly face?: readonly number[];
}

/** Edges whose face ends at 0, found where half of the rise of all planes together is. */
function edgesOf({ width, takes, blur, pxPerMm, away, face = KRAFT }: Look): { edges: TracedChunk[]; at: number } {
  const light = (k: number, t: number): number => face[k] + (CREAM[k] * (1 - takes) - face[k]) * integral(t / blur) + CREAM[k] * takes * integral((t - width) / blur);
  const mean = (t: number): number => (light(0, t) + light(1, t) + light(2, t)) / 3;
  const half = (mean(-3) + mean(3)) / 2;
  let at = -1;
  while (mean(at) < half) at += 1e-3;
  const chunk = {
    profile: Float32Array.from({ length: grid.count }, (_, i) => mean(away * (i * grid.step - grid.reach))), scale: pxPerMm,
    colours: (t: number, n: number, step: number) => [0, 1, 2].map((k) => Float64Array.from({ length: 2 * n + 1 }, (_, i) => light(k, away * (t + (i - n) * step)))),
  } as unknown as Chunk;
  return { edges: Array.from({ length: 8 }, () => ({ chunk, t: away * at })) as unknown as TracedChunk[], at };
}

const looks = fc.record({
  width: fc.double({ min: 0, max: 0.2, noNaN: true }), takes: fc.double({ min: 0.2, max: 0.45, noNaN: true }), blur: fc.double({ min: 0.12, max: 0.25, noNaN: true }), away: fc.constantFrom(1 as const, -1 as const),
});

test("a shadow about as light as the face draws an edge outwards by what the planes' middles tell of it", () => {
  fc.assert(fc.property(looks, (look) => {
    const { edges, at } = edgesOf({ ...look, pxPerMm: 150 });
    const shade = narrowShade(edges, look.away, grid);
    expect(shade).not.toBeNull();
    // What a symmetric edge is off by differs a little from its middle by area.
    if (shade) expect(Math.abs(shade.shift - at)).toBeLessThan(0.012 + 0.2 * at);
  }));
});

test("the coarser the picture, the less of it is believed, and U reaches to where the face ends", () => {
  fc.assert(fc.property(looks, fc.double({ min: 3, max: 12, noNaN: true }), (look, pxPerMm) => {
    const { edges, at } = edgesOf({ ...look, pxPerMm });
    const shade = narrowShade(edges, look.away, grid);
    expect(shade?.shift).toBeGreaterThanOrEqual(0);
    if (shade) expect(Math.abs(shade.shift - at)).toBeLessThan(2.2 * Math.hypot(shade.sigma, 0.01));
  }));
});

test("where all colours have the same share of the table's, nothing is taken off, and U is as large as a usual shadow", () => {
  const black = edgesOf({ width: 0.1, takes: 0.3, blur: 0.15, pxPerMm: 8, away: 1, face: CREAM.map((v) => 0.1 * v) });
  const shade = narrowShade(black.edges, 1, grid);
  expect(shade?.shift).toBeCloseTo(0, 3);
  expect(shade?.sigma).toBeCloseTo(0.04 / 0.9, 2);
});

test("a face as light as the table, and pictures in grey, tell nothing", () => {
  const pale = edgesOf({ width: 0.1, takes: 0.3, blur: 0.15, pxPerMm: 8, away: 1, face: [0.68, 0.6, 0.45] });
  expect(narrowShade(pale.edges, 1, grid)).toBeNull();
  const grey = edgesOf({ width: 0.1, takes: 0.3, blur: 0.15, pxPerMm: 8, away: 1 }).edges.map((e) => ({ ...e, chunk: { ...e.chunk, colours: undefined } }));
  expect(narrowShade(grey as unknown as TracedChunk[], 1, grid)).toBeNull();
});
