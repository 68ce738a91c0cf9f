import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { correction, toCutter } from "../../../core/judge/correction.ts";

type Matrix = readonly [number, number, number, number];
const job = { cutFrom: "reverse" as const, flip: "x" as const, sheet: { width: 1000, height: 700 } };

/** q -> q0 + M (q - q0) + t, with M the turn and stretch of contract section 1 (mm/m) about q0. */
function affine(at: { x: number; y: number }, t: { x: number; y: number }, turn: number, sx: number, sy: number, skew = 0) {
  const [ax, ay] = [turn / 1000, Math.PI / 2 + (turn - skew) / 1000];
  const m: Matrix = [
    (1 + sx / 1000) * Math.cos(ax), (1 + sy / 1000) * Math.cos(ay), (1 + sx / 1000) * Math.sin(ax), (1 + sy / 1000) * Math.sin(ay),
  ];
  return (q: { x: number; y: number }) => {
    const [dx, dy] = [q.x - at.x, q.y - at.y];
    return { x: at.x + m[0] * dx + m[1] * dy + t.x, y: at.y + m[2] * dx + m[3] * dy + t.y };
  };
}

describe("correction", () => {
  it("gives the contract's own example (section 3)", () => {
    const error = { x: 0.112, y: -0.041, rotation: 0.31, skew: 0.02, scaleX: -0.12, scaleY: 0.08 };
    expect(correction(job, error)).toEqual({ frame: "cutter", x: 0.112, y: 0.041, rotation: 0.31, scaleX: 0.12, scaleY: -0.08 });
    expect(correction({ cutFrom: "print", flip: "x" }, error)).toEqual({
      frame: "cutter", x: -0.112, y: 0.041, rotation: -0.31, scaleX: 0.12, scaleY: -0.08,
    });
    expect(correction({ cutFrom: "reverse", flip: "y" }, error)).toMatchObject({ x: -0.112, y: -0.041, rotation: 0.31 });
  });

  it("never says minus zero", () => {
    const { x, y, rotation } = correction(job, { x: 0, y: 0, rotation: 0, skew: 0, scaleX: 0, scaleY: 0 });
    expect([x, y, rotation].every((v) => Object.is(v, 0))).toBe(true);
  });

  it("brings the cut to the print to first order when entered at the cutter, on a sheet turned over either way or not", () => {
    const small = fc.double({ min: -1, max: 1, noNaN: true });
    const side = fc.constantFrom({ cutFrom: "print", flip: "x" }, { cutFrom: "reverse", flip: "x" }, { cutFrom: "reverse", flip: "y" });
    const place = fc.double({ min: 0, max: 700, noNaN: true });
    fc.assert(fc.property(side, fc.tuple(small, small, small, small, small), fc.tuple(place, place), fc.tuple(place, place), (s, e, d, at) => {
      const sheet = { ...job, ...s } as Parameters<typeof toCutter>[0];
      const datum = { x: d[0], y: d[1] };
      const [x, y, rotation, scaleX, scaleY] = e;
      const error = affine(datum, { x, y }, rotation, scaleX, scaleY);
      const flip = (p: { x: number; y: number }) => toCutter(sheet, p);
      const setting = correction(sheet, { x, y, rotation, skew: 0, scaleX, scaleY });
      const entered = affine(flip(datum), setting, setting.rotation, setting.scaleX, setting.scaleY);
      // The cutter is told to cut at entered(nominal) in its own frame; its error, seen in the print frame, is `error`.
      const before = error({ x: at[0], y: at[1] });
      const after = error(flip(entered(flip({ x: at[0], y: at[1] }))));
      const left = Math.hypot(after.x - at[0], after.y - at[1]);
      const was = Math.hypot(before.x - at[0], before.y - at[1]);
      // Second order: 1 mm/m of error on 1 mm/m of error over 1 m is 1 micrometre; some products add up.
      expect(left).toBeLessThan(0.012);
      if (was > 0.05) expect(left).toBeLessThan(was / 4);
    }));
  });

  it("leaves skew in, and nothing else", () => {
    const setting = correction(job, { x: 0, y: 0, rotation: 0.4, skew: 0.9, scaleX: 0, scaleY: 0 });
    expect(setting).toEqual({ frame: "cutter", x: 0, y: 0, rotation: 0.4, scaleX: 0, scaleY: 0 });
  });
});
