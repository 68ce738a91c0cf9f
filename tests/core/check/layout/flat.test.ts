import { describe, expect, it } from "vitest";
import { isFlat } from "../../../../core/check/layout/flat.ts";
import type { Placed } from "../../../../core/check/layout/place.ts";
import type { Job } from "../../../../core/job/schema.ts";

const MARKS = [{ x: 40, y: 70 }, { x: 440, y: 40 }, { x: 403, y: 309 }, { x: 60, y: 300 }];
const job = { marks: MARKS } as unknown as Job;

const FRAME: Placed["frame"] = { print: { x: 0, y: 0, half: 250 }, picture: { x: 2000, y: 1500, half: 2500 } };

/** Marks placed by a plane map, three or so many, with the rough view that a search by their sizes made of them: it leans. */
function placedBy([a, b, d, e]: readonly number[], seen = 3): Pick<Placed, "start" | "frame" | "seen"> {
  const at = MARKS.map(({ x, y }) => ({ x: a * x + b * y + 500, y: d * x + e * y + 3000 }));
  return { frame: FRAME, start: Float64Array.from([0.71, -0.008, 0, 0.021, -0.71, 0, 0.016, -0.028]), seen: at.slice(0, seen).map((place, mark) => ({ mark, refined: { at: place } })) as unknown as Placed["seen"] };
}

const SCALE = 300 / 25.4;
const turned = (degrees: number, x = SCALE, y = SCALE): number[] => {
  const [c, s] = [Math.cos((Math.PI * degrees) / 180), Math.sin((Math.PI * degrees) / 180)];
  return [c * x, -s * y, -s * x, -c * y];
};

describe("an even view", () => {
  /** So many px/mm all over, without a perspective. */
  const at = (pxPerMm: number): Pick<Placed, "start" | "frame" | "seen"> => {
    const a = (pxPerMm * FRAME.print.half) / FRAME.picture.half;
    return { frame: FRAME, start: Float64Array.from([a, 0, 0, 0, -a, 0, 0.001, 0]), seen: [] };
  };

  it("is a flat scan's where it has the scale that the file states, or one that scanners are set to", () => {
    expect(isFlat(at(300 / 25.4), job, { x: 300, y: 300 })).toBe(true);
    expect(isFlat(at(1.003 * (300 / 25.4)), job, undefined)).toBe(true);
    expect(isFlat(at(200 / 25.4), job, { x: 72, y: 72 })).toBe(true);
    expect(isFlat(at(170 / 25.4), job, { x: 170, y: 170 })).toBe(true);
  });

  it("is a photo's from straight above where it has neither", () => {
    expect(isFlat(at(5.3), job, { x: 72, y: 72 })).toBe(false);
    expect(isFlat(at(5.3), job, undefined)).toBe(false);
    expect(isFlat(at(5.3), job, { x: 300, y: 300 })).toBe(false);
  });
});

describe("three marks", () => {
  it("show a flat scan where the map through their places is even and has the scale that the file states", () => {
    expect(isFlat(placedBy(turned(-1.1)), job, { x: 300, y: 300 })).toBe(true);
    expect(isFlat(placedBy(turned(178, SCALE, 1.002 * SCALE)), job, { x: 300, y: 300 })).toBe(true);
  });

  it("do not where the file states none or another, or where they are seen askew", () => {
    expect(isFlat(placedBy(turned(-1.1)), job, undefined)).toBe(false);
    expect(isFlat(placedBy(turned(-1.1)), job, { x: 72, y: 72 })).toBe(false);
    expect(isFlat(placedBy(turned(-1.1, SCALE, Math.cos((6 * Math.PI) / 180) * SCALE)), job, { x: 300, y: 300 })).toBe(false);
    expect(isFlat(placedBy(turned(-1.1), 2), job, { x: 300, y: 300 })).toBe(false);
  });
});

describe("four marks", () => {
  it("show a flat scan as three do, whatever lens the search makes of their sizes", () => {
    expect(isFlat(placedBy(turned(-1.1), 4), job, { x: 300, y: 300 })).toBe(true);
    expect(isFlat(placedBy(turned(-1.1), 4), job, { x: 72, y: 72 })).toBe(false);
    expect(isFlat(placedBy(turned(-1.1, SCALE, Math.cos((6 * Math.PI) / 180) * SCALE), 4), job, { x: 300, y: 300 })).toBe(false);
  });
});
