import { describe, expect, it } from "vitest";
import { biasOf, brightBeyond, edgePriors, lipsOf } from "../../../../core/check/fit/edgePriors.ts";
import type { TracedPath } from "../../../../core/cuts/trace.ts";
import type { Job } from "../../../../core/job/schema.ts";

const job = { sheet: { width: 400, height: 300, thickness: 1.5 } } as Job;

/** Edges of a piece of light `face` over ground of light `ground`, seen along a normal that points out of it (away: 1) or into it. */
function edges(face: number, ground: number, away: 1 | -1): TracedPath {
  const [behind, step] = away > 0 ? [face, ground - face] : [ground, face - ground];
  return { kind: "cut", look: "step", away, chunks: Array.from({ length: 9 }, () => ({ found: true, share: step / behind })) } as unknown as TracedPath;
}

describe("how far edges may be found off, alike all round", () => {
  it("goes by how bright the ground beyond is over the step: much for kraft on a light table, little for white on a dark one, whichever way the normals point", () => {
    for (const away of [1, -1] as const) {
      expect(brightBeyond([edges(0.15, 0.37, away)])).toBeCloseTo(0.37 / 0.22, 9);
      expect(brightBeyond([edges(0.8, 0.05, away)])).toBeCloseTo(0.05 / 0.75, 9);
    }
    expect(brightBeyond([])).toBe(0);
  });

  it("is wider for a bright ground, and no narrower than for one half as bright as the step", () => {
    const step = (beyond?: number): number => edgePriors(job, false, 0.4, beyond).step;
    expect(step(0.05)).toBe(step());
    expect(step(1.7) / step()).toBeGreaterThan(2);
    expect(edgePriors(job, false, 0.4, 1.7).line).toBe(edgePriors(job, false, 0.4).line);
  });

  it("goes by what the profiles tell of lips where they do: little in a sharp scan, much where blur hides them", () => {
    const line = (flat: boolean, lip?: number): number => edgePriors(job, flat, 0.2, undefined, lip === undefined ? undefined : { leave: lip, draw: 0 }).line;
    expect(line(true, 0.002)).toBeLessThan(0.2 * line(true));
    expect(line(false, 0.06)).toBeGreaterThan(line(false));
    expect(line(true, 1e-6)).toBe(0.001);
  });

  it("lets slits on darker print be drawn farther the farther lips draw at all", () => {
    const chunk = (bias: number) => ({ found: true, bias, lip: 0.004 });
    const slits = (bias: number) => [{ kind: "cut", look: "line", length: 100, chunks: [chunk(bias), chunk(-bias), { found: false, lip: 1 }] }] as unknown as TracedPath[];
    expect(lipsOf(slits(0.03))).toEqual({ leave: 0.004, draw: 0.03 });
    expect(lipsOf([])).toBeUndefined();
    const toned = (bias: number): number => edgePriors(job, false, 0.2, undefined, lipsOf(slits(bias))).tonedX;
    expect(toned(0.03) / toned(0.01)).toBeCloseTo(3, 6);
    expect(toned(0)).toBeGreaterThan(0);
  });

  it("a slit on darker print lies off to the shade by its tone, on print darker than itself by its lip, one of a hole's edge does not", () => {
    const edgeBias = { line: 0.01, step: 0.02, hole: 0.005, toned: 0.002, tonedX: 0.03, tonedY: -0.04, bright: 0.05, brightX: 0.06, brightY: -0.07 };
    expect(biasOf({ look: "line", away: 1 }, { nx: 1, ny: 0 }, edgeBias, { tone: 0.5 })).toBeCloseTo(0.01 + 0.5 * (0.002 + 0.03), 12);
    expect(biasOf({ look: "line", away: -1 }, { nx: 0, ny: 1 }, edgeBias, { tone: 0.5 })).toBeCloseTo(-0.01 + 0.5 * (-0.002 - 0.04), 12);
    expect(biasOf({ look: "line", away: -1 }, { nx: 0, ny: 1 }, edgeBias, { bright: true })).toBeCloseTo(-0.01 - 0.05 - 0.07, 12);
    expect(biasOf({ look: "step", away: -1 }, { nx: 1, ny: 0 }, edgeBias)).toBeCloseTo(-0.025, 12);
    expect(biasOf({ look: "crease", away: 0 }, { nx: 1, ny: 0 }, edgeBias)).toBe(0);
  });
});
