import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { StretchReport } from "../../../core/check/record.ts";
import { consequences } from "../../../core/judge/consequences.ts";
import { flattenCut } from "../../../core/job/paths.ts";
import type { Cut } from "../../../core/job/schema.ts";
import { stretches } from "../../../core/job/walk.ts";

const cuts: Cut[] = [
  { id: "blank", kind: "cut", path: "M 100 100 L 400 100 L 400 300 L 100 300 Z M 150 150 L 200 150 L 200 200 L 150 200 Z" },
  { id: "W1", kind: "cut", circle: { x: 300, y: 200, diameter: 20 } },
  { id: "slit", kind: "cut", path: "M 250 120 L 250 140" },
  { id: "fold", kind: "crease", path: "M 100 200 L 400 200" },
];
const job = { cuts, bleed: 3, safe: 2 };

/** The stretches of a cut that was moved as a whole by (dx, dy). */
const moved = (dx: number, dy: number): StretchReport[] =>
  cuts.flatMap((cut) => flattenCut(cut).flatMap((path) => stretches(path).map((s) => ({
    feature: cut.id, x: s.midpoint.x, y: s.midpoint.y, nx: s.normal.x, ny: s.normal.y, value: dx * s.normal.x + dy * s.normal.y, U: 0.02,
  }))));

const of = (found: ReturnType<typeof consequences>, feature: string, role: string, side: string) =>
  found.find((c) => c.feature === feature && c.role === role && c.side === side);

describe("consequences", () => {
  it("tells bleed, white edge and safe zone by side for an outline", () => {
    const found = consequences(job, moved(3.4, 0));
    expect(of(found, "blank", "outline", "right")).toMatchObject({ outwards: 3.4, bleedLeft: 0, whiteEdge: expect.closeTo(0.4, 9), safeLeft: 2, cutInto: 0 });
    expect(of(found, "blank", "outline", "left")).toMatchObject({ inwards: 3.4, bleedLeft: 3, whiteEdge: 0, safeLeft: 0, cutInto: expect.closeTo(1.4, 9) });
    expect(of(found, "blank", "outline", "top")).toMatchObject({ bleedLeft: expect.closeTo(3, 9), safeLeft: expect.closeTo(2, 9) });
  });

  it("knows a hole, in the same path or in another one: there the piece lies around the cut", () => {
    const found = consequences(job, moved(1, 0));
    // The hole's right edge moves into the piece, whose side there faces left; its left edge moves into the hole's bleed.
    expect(of(found, "blank", "hole", "left")).toMatchObject({ inwards: 1, safeLeft: 1, bleedLeft: 3 });
    expect(of(found, "blank", "hole", "right")).toMatchObject({ outwards: 1, bleedLeft: 2, safeLeft: 2 });
    expect(of(found, "W1", "hole", "right")?.outwards).toBeGreaterThan(0.85);
  });

  it("has no bleed along an open cut, none at all without the job's figures, and nothing for creases", () => {
    const found = consequences(job, moved(-1, 0));
    const slit = found.find((c) => c.feature === "slit");
    expect(slit).toMatchObject({ role: "open", safeLeft: 1 });
    expect(slit).not.toHaveProperty("bleedLeft");
    expect(found.some((c) => c.feature === "fold")).toBe(false);
    expect(consequences({ cuts }, moved(1, 0))[0]).not.toHaveProperty("safeLeft");
  });

  it("never leaves both bleed and a white edge on one side, nor both a safe distance and a cut into it", () => {
    const mm = fc.double({ min: -8, max: 8, noNaN: true });
    fc.assert(fc.property(mm, mm, (dx, dy) => {
      for (const c of consequences(job, moved(dx, dy))) {
        expect((c.bleedLeft ?? 0) * (c.whiteEdge ?? 0)).toBe(0);
        expect((c.safeLeft ?? 0) * (c.cutInto ?? 0)).toBe(0);
        expect(Math.max(c.outwards, c.inwards)).toBeLessThanOrEqual(Math.hypot(dx, dy) + 1e-9);
      }
    }), { numRuns: 50 });
  });
});
