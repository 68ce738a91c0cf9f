import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DISTORTED, LENS_PARAMETERS, distort, distortWithDerivatives, radiusLimit, undistort } from "../../../core/camera/lens.ts";
import type { Lens } from "../../../core/camera/lens.ts";
import { isSeen, pictureDerivative, project, toPicture, toPrint } from "../../../core/camera/view.ts";
import type { View } from "../../../core/camera/view.ts";

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
/** A phone or camera of 12 MP: k1 to +-0.25, the rest of the usual size. */
const lenses: fc.Arbitrary<Lens> = fc.record({
  fx: number(2500, 4500), fy: number(2500, 4500), cx: number(1900, 2100), cy: number(1400, 1600),
  k1: number(-0.25, 0.25), k2: number(-0.05, 0.1), p1: number(-2e-3, 2e-3), p2: number(-2e-3, 2e-3), k3: number(-0.01, 0.02),
});
const inPicture = fc.record({ x: number(0, 3999), y: number(0, 2999) });
const plain: Lens = { fx: 3000, fy: 3000, cx: 2000, cy: 1500, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 };

describe("Brown-Conrady lens", () => {
  it("agrees with the formulas written out (OpenCV calib3d page, seen)", () => {
    const lens: Lens = { fx: 3000, fy: 3100, cx: 2000, cy: 1500, k1: -0.2, k2: 0.05, p1: 1e-3, p2: -2e-3, k3: 0.01 };
    const a = 0.4;
    const b = -0.3;
    const r2 = 0.25;
    const R = 1 - 0.2 * r2 + 0.05 * r2 ** 2 + 0.01 * r2 ** 3;
    const q = distort(lens, 2000 + 3000 * a, 1500 + 3100 * b);
    expect(q.x).toBeCloseTo(2000 + 3000 * (a * R + 2 * 1e-3 * a * b - 2e-3 * (r2 + 2 * a * a)), 10);
    expect(q.y).toBeCloseTo(1500 + 3100 * (b * R + 1e-3 * (r2 + 2 * b * b) - 2 * 2e-3 * a * b), 10);
  });
  it("undistort finds the ideal point again", () => {
    fc.assert(fc.property(lenses, inPicture, (lens, p) => {
      const seen = distort(lens, p.x, p.y);
      const back = undistort(lens, seen.x, seen.y);
      if (!back.ok) throw new Error(back.reason);
      expect(Math.hypot(back.x - p.x, back.y - p.y)).toBeLessThan(1e-8);
    }), { numRuns: 500 });
  });
  it("derivatives by point and by every parameter are those of small steps", () => {
    const out = new Float64Array(DISTORTED.length);
    fc.assert(fc.property(lenses, inPicture, (lens, { x, y }) => {
      distortWithDerivatives(lens, x, y, out);
      expect({ x: out[0], y: out[1] }).toEqual(distort(lens, x, y));
      const check = (got: number, plus: number, minus: number, h: number) =>
        expect(Math.abs(got - (plus - minus) / (2 * h))).toBeLessThan(2e-7 * (1 + Math.abs(got)));
      const h = 0.05;
      const [e, w, n, s] = [distort(lens, x + h, y), distort(lens, x - h, y), distort(lens, x, y + h), distort(lens, x, y - h)];
      check(out[2], e.x, w.x, h);
      check(out[3], n.x, s.x, h);
      check(out[4], e.y, w.y, h);
      check(out[5], n.y, s.y, h);
      LENS_PARAMETERS.forEach((name, i) => {
        const step = i < 4 ? 0.05 : 1e-4;
        const plus = distort({ ...lens, [name]: lens[name] + step }, x, y);
        const minus = distort({ ...lens, [name]: lens[name] - step }, x, y);
        check(out[DISTORTED.xByLens + i], plus.x, minus.x, step);
        check(out[DISTORTED.yByLens + i], plus.y, minus.y, step);
      });
    }));
  });
  it("the range ends where the radius stops growing, and points beyond it are refused", () => {
    const barrel = { ...plain, k1: -0.25 };
    expect(radiusLimit(barrel)).toBeCloseTo(Math.sqrt(1 / 0.75), 12);
    expect(radiusLimit({ ...plain, k1: 0.2 })).toBe(Infinity);
    // -0.25 r^2 alone would turn back at 1.155; + 0.2 r^4 keeps it growing.
    expect(radiusLimit({ ...plain, k1: -0.25, k2: 0.2 })).toBe(Infinity);
    const largest = radiusLimit(barrel) * (1 - 0.25 * radiusLimit(barrel) ** 2) * 3000;
    expect(undistort(barrel, 2000 + 0.999 * largest, 1500)).toMatchObject({ ok: true });
    expect(undistort(barrel, 2000 + 1.001 * largest, 1500)).toMatchObject({ ok: false });
  });
  it("the limit is the first place where the slope is zero", () => {
    fc.assert(fc.property(number(-0.6, 0.6), number(-0.6, 0.6), number(-0.6, 0.6), (k1, k2, k3) => {
      const limit = radiusLimit({ ...plain, k1, k2, k3 });
      const slope = (r: number) => 1 + 3 * k1 * r ** 2 + 5 * k2 * r ** 4 + 7 * k3 * r ** 6;
      const end = Math.min(limit, 20);
      for (let i = 0; i < 200; i++) expect(slope((end * i) / 200)).toBeGreaterThan(-1e-7);
      if (limit < 100) expect(Math.abs(slope(limit))).toBeLessThan(1e-6 * (1 + limit ** 6));
    }));
  });
});

describe("view", () => {
  const homography = { m: [3.1, 0.2, 300, 0.15, -3.2, 2600, 4e-5, -6e-5, 1] };
  it("there and back, with lens and without", () => {
    fc.assert(fc.property(fc.option(lenses), number(0, 1000), number(0, 700), (lens, x, y) => {
      const view: View = { homography, lens };
      const p = toPrint(view, toPicture(view, { x, y }));
      if (!p) throw new Error("no point");
      expect(Math.hypot(p.x - x, p.y - y)).toBeLessThan(1e-8);
      expect(isSeen(view, { x, y }, { x: 500, y: 350 })).toBe(true);
      const [a, b, c, d] = pictureDerivative(view, x, y);
      const h = 1e-3;
      const [e, w, n, s] = [project(view, x + h, y), project(view, x - h, y), project(view, x, y + h), project(view, x, y - h)];
      [[a, e.x, w.x], [b, n.x, s.x], [c, e.y, w.y], [d, n.y, s.y]].forEach(([got, plus, minus]) =>
        expect(Math.abs(got - (plus - minus) / (2 * h))).toBeLessThan(1e-5));
    }));
  });
  it("a point behind the camera is not seen", () => {
    expect(isSeen({ homography, lens: null }, { x: 0, y: 2e4 }, { x: 500, y: 350 })).toBe(false);
  });
});
