import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { fitAffine, fitProjective, fitRigid, fitSimilarity } from "../../../core/geometry/fits.ts";
import { homographyFrom, homographyFromFour } from "../../../core/geometry/homography.ts";
import type { Pair } from "../../../core/geometry/homography.ts";
import { levenbergMarquardt } from "../../../core/geometry/levenbergMarquardt.ts";
import { affine, apply, compose, derivativeAt, invert } from "../../../core/geometry/transform.ts";
import type { Transform } from "../../../core/geometry/transform.ts";
import { gaussian } from "../../support/gaussian.ts";

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** A camera-like view of a 1000 x 700 sheet: scale, turn, either handedness, some perspective. */
const view = fc.record({
  scale: number(0.5, 8), turn: number(-Math.PI, Math.PI), mirror: fc.boolean(), stretch: number(0.8, 1.25),
  x: number(-5000, 5000), y: number(-5000, 5000), g: number(-2e-4, 2e-4), h: number(-2e-4, 2e-4),
}).map(({ scale, turn, mirror, stretch, x, y, g, h }): Transform<"print", "picture"> => {
  const c = scale * Math.cos(turn);
  const s = scale * Math.sin(turn);
  const flip = (mirror ? -1 : 1) * stretch;
  return { m: [c + g * x, -s * flip + h * x, x, s + g * y, c * flip + h * y, y, g, h, 1] };
});
const sheetPoint = fc.record({ x: number(0, 1000), y: number(0, 700) });
const grid = [0, 500, 1000].flatMap((x) => [0, 350, 700].map((y) => ({ x, y })));
const seen = (t: Transform<"print", "picture">, points = grid): Pair<"print", "picture">[] =>
  points.map((from) => ({ from, to: apply(t, from.x, from.y) }));

describe("transforms", () => {
  it("the way there and back is the identity", () => {
    fc.assert(fc.property(view, sheetPoint, (t, p) => {
      const back = invert(t);
      if (!back) throw new Error("no inverse");
      const q = apply(t, p.x, p.y);
      const r = apply(back, q.x, q.y);
      expect(Math.hypot(r.x - p.x, r.y - p.y)).toBeLessThan(1e-7);
      const same = apply(compose(back, t), p.x, p.y);
      expect(Math.hypot(same.x - p.x, same.y - p.y)).toBeLessThan(1e-7);
    }));
  });
  it("the derivative is that of small steps", () => {
    fc.assert(fc.property(view, sheetPoint, (t, { x, y }) => {
      const [a, b, c, d] = derivativeAt(t, x, y);
      const h = 1e-3;
      const [e, w, n, s] = [apply(t, x + h, y), apply(t, x - h, y), apply(t, x, y + h), apply(t, x, y - h)];
      const close = (got: number, plus: number, minus: number) => expect(Math.abs(got - (plus - minus) / (2 * h))).toBeLessThan(1e-6);
      close(a, e.x, w.x);
      close(b, n.x, s.x);
      close(c, e.y, w.y);
      close(d, n.y, s.y);
    }));
  });
  it("a map onto a line has no inverse", () => {
    expect(invert(affine(1, 2, 0, 2, 4, 5))).toBeNull();
    expect(invert({ m: [0, 0, 0, 0, 0, 0, 0, 0, 0] })).toBeNull();
  });
});

describe("homographies", () => {
  it("are found exactly from exact points: from four by the closed form, from more by DLT", () => {
    fc.assert(fc.property(view, (t) => {
      const four = homographyFromFour(seen(t, [grid[0], grid[6], grid[8], grid[2]]));
      const many = homographyFrom(seen(t));
      for (const found of [four, many]) {
        if (!found) throw new Error("not found");
        for (const p of grid) {
          const [a, b] = [apply(t, p.x, p.y), apply(found, p.x, p.y)];
          expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(1e-6);
        }
      }
    }));
  });
  it("are refused where the points do not fix them", () => {
    const line = [0, 1, 2, 3, 4].map((i) => ({ from: { x: i, y: 2 * i }, to: { x: i, y: i } }));
    expect(homographyFrom(line)).toBeNull();
    expect(homographyFrom(line.slice(0, 4))).toBeNull();
    expect(homographyFrom(seen({ m: [1, 0, 0, 0, 1, 0, 0, 0, 1] }, grid.slice(0, 3)))).toBeNull();
    expect(fitProjective(line)).toMatchObject({ ok: false });
    expect(fitAffine(line)).toMatchObject({ ok: false });
  });
});

describe("fits follow a turn, a mirror, a shift, a change of units of the target", () => {
  const fits = { fitRigid, fitSimilarity, fitAffine, fitProjective } as const;
  it.each(Object.keys(fits) as (keyof typeof fits)[])("%s", (name) => {
    const fit = fits[name];
    const motion = fc.record({ turn: number(-3, 3), x: number(-1e3, 1e3), y: number(-1e3, 1e3), unit: fc.constantFrom(1e-6, 1, 25.4, 1e6) });
    fc.assert(fc.property(motion, fc.integer(), ({ turn, x, y, unit }, seed) => {
      const random = gaussian(seed);
      const scale = name === "fitRigid" ? 1 : unit;
      const c = scale * Math.cos(turn);
      const s = scale * Math.sin(turn);
      const moved = affine<"picture", "picture">(c, -s, x * scale, s, c, y * scale);
      const noisy = grid.map((from): Pair<"print", "picture"> => ({ from, to: { x: from.x + 0.1 * random(), y: from.y + 0.1 * random() } }));
      const a = fit(noisy);
      const b = fit(noisy.map((p) => ({ from: p.from, to: apply(moved, p.to.x, p.to.y) })));
      if (!a.ok || !b.ok) throw new Error("no fit");
      expect(b.rms / (a.rms * scale)).toBeCloseTo(1, 6);
      const both = compose(moved, a.transform);
      for (const p of grid) {
        const [u, v] = [apply(both, p.x, p.y), apply(b.transform, p.x, p.y)];
        expect(Math.hypot(u.x - v.x, u.y - v.y)).toBeLessThan(1e-6 * scale);
      }
    }), { numRuns: 30 });
  });
});

describe("covariance", () => {
  /** Mean of the squared errors over those predicted, over all parameters: 1 within sampling error. */
  function ratio(runs: number, claimed: number): number {
    const truth: Transform<"print", "picture"> = { m: [4, 0.3, 120, -0.2, -3.9, 2900, 5e-5, -3e-5, 1] };
    const random = gaussian(11);
    let sum = 0;
    for (let k = 0; k < runs; k++) {
      const fit = fitProjective(seen(truth).map((p) => ({ ...p, to: { x: p.to.x + 0.2 * random(), y: p.to.y + 0.2 * random() } })));
      if (!fit.ok) throw new Error(fit.reason);
      fit.parameters.forEach((p, i) => (sum += (p - truth.m[i]) ** 2 / (claimed ** 2 * fit.cofactor[i * 9]) / 8));
    }
    return sum / runs;
  }
  it("of a projective fit is what repeated noise shows", () => {
    // 1500 runs of (correlated) squares: standard error of the mean ratio at most sqrt(2/1500) = 0.037.
    expect(Math.abs(ratio(1500, 0.2) - 1)).toBeLessThan(0.12);
  });
  it("negative control: noise claimed 20 % too small is noticed", () => {
    expect(Math.abs(ratio(1500, 0.16) - 1)).toBeGreaterThan(0.12);
  });
});

describe("Levenberg-Marquardt", () => {
  it("reaches the minimum of Rosenbrock's valley from the usual start", () => {
    const found = levenbergMarquardt(Float64Array.of(-1.2, 1), ([x, y], add) => {
      add(Float64Array.of(-20 * x, 10), -10 * (y - x * x), 1);
      add(Float64Array.of(-1, 0), x - 1, 1);
    });
    expect(found).toMatchObject({ converged: true, rows: 2 });
    expect(Math.hypot(found.parameters[0] - 1, found.parameters[1] - 1)).toBeLessThan(1e-10);
  });
  it("gives the same fit in any units of the parameters", () => {
    const t = Array.from({ length: 20 }, (_, i) => i / 4);
    const solve = (unit: number) => levenbergMarquardt(Float64Array.of(1, unit), (p, add) => {
      for (const v of t) {
        const e = Math.exp((-p[1] / unit) * v);
        add(Float64Array.of(e, (-p[0] * v * e) / unit), 3 * Math.exp(-0.7 * v) + 0.01 * Math.sin(9 * v) - p[0] * e, 1);
      }
    });
    const one = solve(1);
    for (const unit of [1e-9, 1e9]) {
      const other = solve(unit);
      expect(other.converged).toBe(true);
      expect(other.parameters[1] / unit / one.parameters[1]).toBeCloseTo(1, 8);
      expect(other.cost / one.cost).toBeCloseTo(1, 10);
    }
  });
  it("names a parameter that the observations do not rule, and values that cannot be used", () => {
    const flat = levenbergMarquardt(Float64Array.of(1, 1), (p, add) => {
      for (let i = 0; i < 5; i++) add(Float64Array.of(1, 1), i - p[0] - p[1], 1);
    });
    expect(flat.covariance).toBeNull();
    expect(flat.reason).toMatch(/not determined/);
    const broken = levenbergMarquardt(Float64Array.of(1), (_, add) => add(Float64Array.of(1), NaN, 1));
    expect(broken).toMatchObject({ converged: false, covariance: null });
    expect(levenbergMarquardt(Float64Array.of(1, 2), (_, add) => add(Float64Array.of(1, 1), 0, 1)).reason).toMatch(/1 observations/);
  });
});
