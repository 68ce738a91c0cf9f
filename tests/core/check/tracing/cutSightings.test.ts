import { describe, expect, it } from "vitest";
import { cutSightings } from "../../../../core/check/tracing/cutSightings.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import type { PlaneMap } from "../../../../core/marks/localMap.ts";
import { chunkWith } from "../../cuts/profile.ts";

const map: PlaneMap = { toPicture: ({ x, y }) => ({ x: 5 * x, y: -5 * y }), toPrint: ({ x, y }) => ({ x: x / 5, y: -y / 5 }) };
const under = { shift: { about: { x: 0, y: 0 }, terms: new Float64Array(6) }, map, lens: null, pxPerMm: 5, wall: 0 };

/** Twelve chunks, of which the knife has left its path in three and two were not found. */
const path: TracedPath = {
  feature: "blank", kind: "cut", look: "line", closed: true, away: 1, length: 60, width: 0.2,
  chunks: Array.from({ length: 12 }, (_, k) => ({
    chunk: chunkWith({ at: 0, width: 0.2, depth: 0.2 }, 5 * k + 2.5), found: k < 10, left: k >= 3 && k < 6, t: k >= 3 && k < 6 ? 0.4 : 0, sigma: 0.01, bias: 0, significance: 30, share: -0.25,
  })),
};
const places = (every: number, of = path): number[] => cutSightings([of], every, under).cuts.map((c) => (c.print.y - 2.5) / 5);

describe("what the joint fit takes of the cuts", () => {
  it("are at last those in place: where the knife has left its path they would bend lens and board to themselves", () => {
    expect(places(1)).toEqual([0, 1, 2, 6, 7, 8, 9]);
  });

  it("are on the way all that are found, every so many of them: an unknown lens bends cuts as well", () => {
    expect(places(3)).toEqual([0, 3, 6, 9]);
  });

  it("are none of a piece that has moved", () => {
    expect(places(1, { ...path, moved: true })).toEqual([]);
  });
});
