import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cutFault, flattenCut, signedArea, type Subpath } from "../../../core/job/paths.ts";
import { corners, partsOf, stationsAlong, stationsAt, stretches, walk } from "../../../core/job/walk.ts";

const cut = (path: string) => ({ id: "c", kind: "cut" as const, path });
const circle = (x: number, y: number, diameter: number) => ({ id: "c", kind: "cut" as const, circle: { x, y, diameter } });
const only = (path: string, tolerance?: number): Subpath => {
  const all = flattenCut(cut(path), tolerance);
  expect(all).toHaveLength(1);
  return all[0];
};
const coordinate = fc.double({ min: -500, max: 500, noNaN: true });
const point = fc.record({ x: coordinate, y: coordinate });
type P = { x: number; y: number };

function toSegment(p: P, a: P, b: P): number {
  const d = { x: b.x - a.x, y: b.y - a.y };
  const l = d.x * d.x + d.y * d.y;
  const t = l > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * d.x + (p.y - a.y) * d.y) / l)) : 0;
  return Math.hypot(p.x - a.x - t * d.x, p.y - a.y - t * d.y);
}

function toPath(p: P, s: Subpath): number {
  const edges = s.closed ? s.points.length : s.points.length - 1;
  let least = Infinity;
  for (let i = 0; i < edges; i++) least = Math.min(least, toSegment(p, s.points[i], s.points[(i + 1) % s.points.length]));
  return least;
}

describe("flattening stays within its tolerance", () => {
  it("of a cubic Bézier, and its vertices lie on it", () => {
    fc.assert(
      fc.property(point, point, point, point, fc.double({ min: 0.001, max: 0.5, noNaN: true }), (p0, p1, p2, p3, tolerance) => {
        fc.pre(Math.hypot(p0.x - p3.x, p0.y - p3.y) > 1);
        const s = only(`M${p0.x} ${p0.y}C${p1.x} ${p1.y} ${p2.x} ${p2.y} ${p3.x} ${p3.y}`, tolerance);
        for (let i = 0; i <= 60; i++) {
          const t = i / 60;
          const u = 1 - t;
          const at = (k: "x" | "y") => u ** 3 * p0[k] + 3 * u * u * t * p1[k] + 3 * u * t * t * p2[k] + t ** 3 * p3[k];
          expect(toPath({ x: at("x"), y: at("y") }, s)).toBeLessThanOrEqual(tolerance * 1.0001 + 1e-9);
        }
      }),
      { numRuns: 60 },
    );
  });

  it("of a circle: vertices on it, chords inside by no more than the tolerance, length and area to second order", () => {
    fc.assert(
      fc.property(coordinate, coordinate, fc.double({ min: 1, max: 800, noNaN: true }), (x, y, d) => {
        const [s] = flattenCut(circle(x, y, d));
        expect(s.points[0].x).toBeCloseTo(x + d / 2, 9);
        expect(s.points[0].y).toBeCloseTo(y, 9);
        expect(signedArea(s)).toBeGreaterThan(0);
        for (const [i, p] of s.points.entries()) {
          const q = s.points[(i + 1) % s.points.length];
          expect(Math.hypot(p.x - x, p.y - y)).toBeCloseTo(d / 2, 6);
          expect(Math.hypot((p.x + q.x) / 2 - x, (p.y + q.y) / 2 - y)).toBeGreaterThanOrEqual(d / 2 - 0.005 - 1e-6);
        }
        // A chord of height h under radius r is shorter than its arc by the share h / (3 r) to first order.
        expect(s.length).toBeLessThanOrEqual(Math.PI * d * (1 + 1e-9));
        expect(s.length).toBeGreaterThanOrEqual(Math.PI * d * (1 - (0.005 / (d / 2)) * 0.34));
      }),
      { numRuns: 60 },
    );
  });

  it("of SVG arcs, against the ellipse's own equation, sweep towards growing angles in the y-up frame", () => {
    const quarter = only("M 10 0 A 10 10 0 0 1 0 10");
    for (const p of quarter.points) expect(Math.hypot(p.x, p.y)).toBeCloseTo(10, 9);
    expect(quarter.points.every((p) => p.x >= -1e-9 && p.y >= -1e-9)).toBe(true);
    const other = only("M 10 0 A 10 10 0 0 0 0 10");
    for (const p of other.points) expect(Math.hypot(p.x - 10, p.y - 10)).toBeCloseTo(10, 9);
    const long = only("M 10 0 a 10 10 0 1 0 -10 10", 1e-5);
    expect(long.length).toBeCloseTo(15 * Math.PI, 3);
    fc.assert(
      fc.property(point, point, fc.double({ min: 1, max: 300, noNaN: true }), fc.double({ min: 0.1, max: 1, noNaN: true }), fc.double({ min: 0, max: 180, noNaN: true }), fc.boolean(), fc.boolean(), (a, b, rx, ratio, turn, large, sweep) => {
        fc.pre(Math.hypot(a.x - b.x, a.y - b.y) > 1);
        const ry = rx * ratio;
        const s = only(`M${a.x},${a.y}A${rx},${ry},${turn},${+large},${+sweep},${b.x},${b.y}`, 0.01);
        // Unturned and scaled to the unit circle, every vertex lies on one circle; its radius is > 1 only where the radii had to grow.
        const phi = (turn * Math.PI) / 180;
        const unit = s.points.map((p) => ({ x: ((p.x - a.x) * Math.cos(phi) + (p.y - a.y) * Math.sin(phi)) / rx, y: ((p.y - a.y) * Math.cos(phi) - (p.x - a.x) * Math.sin(phi)) / ry }));
        const end = unit[unit.length - 1];
        const span = Math.hypot(end.x, end.y);
        const radius = Math.max(1, span / 2);
        const off = Math.sqrt(Math.max(0, radius * radius - (span * span) / 4)) * (large === sweep ? -1 : 1);
        const c = { x: end.x / 2 - (off * end.y) / span, y: end.y / 2 + (off * end.x) / span };
        for (const p of unit) expect(Math.hypot(p.x - c.x, p.y - c.y) / radius).toBeCloseTo(1, 6);
        const angle = unit.slice(1).reduce((sum, p, i) => sum + Math.atan2((unit[i].x - c.x) * (p.y - c.y) - (unit[i].y - c.y) * (p.x - c.x), (unit[i].x - c.x) * (p.x - c.x) + (unit[i].y - c.y) * (p.y - c.y)), 0);
        if (span < 1.99) {
          expect(angle > 0).toBe(sweep);
          expect(Math.abs(angle) > Math.PI).toBe(large);
        }
      }),
      { numRuns: 100 },
    );
  });

  it("reads relative, smooth and shorthand commands as their absolute longhand", () => {
    const pairs = [
      ["m 10 10 h 20 v 10 h -20 z", "M 10 10 L 30 10 L 30 20 L 10 20 Z"],
      ["M0 0 C 0 10 10 10 10 0 S 20 -10 20 0", "M0 0 C 0 10 10 10 10 0 C 10 -10 20 -10 20 0"],
      ["M0 0 Q 5 10 10 0 T 20 0", "M0 0 Q 5 10 10 0 Q 15 -10 20 0"],
      ["m 0 0 q 5 10 10 0 t 10 0", "M0 0 Q 5 10 10 0 Q 15 -10 20 0"],
      ["M1 1 2 2 3 1z", "M1 1L2 2L3 1Z"],
    ];
    for (const [short, long] of pairs) expect(flattenCut(cut(short))).toEqual(flattenCut(cut(long)));
  });

  it("goes on from the start of a closed part that no move follows", () => {
    const [, second] = flattenCut(cut("M 10 10 h 5 v 5 z l -3 0"));
    expect(second.points).toEqual([{ x: 10, y: 10 }, { x: 7, y: 10 }]);
  });
});

describe("normals", () => {
  const square = (x: number, y: number, w: number, ccw: boolean) => (ccw ? `M${x} ${y} h${w} v${w} h${-w} z` : `M${x} ${y} v${w} h${w} v${-w} z`);

  it("point away from the enclosed area, whichever way a closed path is drawn, mirrored too", () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 20, max: 100, noNaN: true }), { minLength: 5, maxLength: 12 }), fc.boolean(), fc.boolean(), (radii, reverse, mirror) => {
        const star = radii.map((r, i) => ({ x: (mirror ? -1 : 1) * r * Math.cos((2 * Math.PI * i) / radii.length), y: r * Math.sin((2 * Math.PI * i) / radii.length) }));
        if (reverse) star.reverse();
        const s = only(`M${star.map((p) => `${p.x} ${p.y}`).join("L")}Z`);
        for (const w of walk(s, 3)) {
          expect(inside({ x: w.x + 1e-4 * w.nx, y: w.y + 1e-4 * w.ny }, star)).toBe(false);
          expect(inside({ x: w.x - 1e-4 * w.nx, y: w.y - 1e-4 * w.ny }, star)).toBe(true);
          expect(w.nx * w.tx + w.ny * w.ty).toBeCloseTo(0, 12);
          expect(Math.hypot(w.nx, w.ny)).toBeCloseTo(1, 12);
        }
      }),
      { numRuns: 50 },
    );
  });

  it("of a circle are its radii, exactly, also between the vertices", () => {
    const [s] = flattenCut(circle(7, -3, 6));
    for (const w of walk(s, 0.13)) {
      const r = Math.hypot(w.x - 7, w.y + 3);
      expect(Math.hypot(w.nx - (w.x - 7) / r, w.ny - (w.y + 3) / r)).toBeLessThan(1e-4);
      expect(w.corner).toBe(Infinity);
    }
  });

  it("lie left of travel on an open path; an unclosed path whose ends coincide is closed", () => {
    const [w] = walk(only("M 0 0 L 10 0"), 10);
    expect([w.nx, w.ny]).toEqual([-0, 1]);
    expect(only("M0 0 L10 0 L10 10 L0 10 L0 0").closed).toBe(true);
    expect(only("M0 0 L10 0 L10 10 L0 10").closed).toBe(false);
    expect(only(square(0, 0, 10, false)).length).toBe(40);
  });
});

function inside(p: P, ring: P[]): boolean {
  let odd = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const a = ring[i];
    const b = ring[j];
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) odd = !odd;
  }
  return odd;
}

describe("walking", () => {
  it("spaces stations evenly, on the path, with their own distances", () => {
    const s = only("M 0 0 L 30 0 A 20 20 0 0 1 50 20 L 50 77 C 50 90 20 90 10 60 Z");
    const all = walk(s, 0.5);
    expect(all).toHaveLength(Math.round(s.length / 0.5));
    for (let i = 1; i < all.length; i++) {
      expect(all[i].s - all[i - 1].s).toBeCloseTo(s.length / all.length, 9);
      expect(Math.hypot(all[i].x - all[i - 1].x, all[i].y - all[i - 1].y)).toBeLessThanOrEqual(1.001 * (s.length / all.length));
      expect(toPath(all[i], s)).toBeLessThan(0.0051);
    }
  });

  it("puts stations on the curve itself, not on the chords that lie inside of it", () => {
    for (const w of walk(flattenCut(circle(7, -3, 6))[0], 0.13)) expect(Math.abs(Math.hypot(w.x - 7, w.y + 3) - 3)).toBeLessThan(5e-5);
    for (const path of ["M 0 0 C 40 80 90 -50 100 40", "M 0 0 A 60 25 30 0 1 80 10", "M 0 0 Q 20 60 90 5"]) {
      const fine = flattenCut(cut(path), 1e-6)[0];
      const farthest = Math.max(...walk(flattenCut(cut(path))[0], 0.4).map((w) => toPath(w, fine)));
      expect(farthest).toBeLessThan(1e-4);
    }
  });

  it("knows real corners from flattened curves", () => {
    const rounded = only("M 10 0 L 90 0 A 10 10 0 0 1 100 10 L 100 90 A 10 10 0 0 1 90 100 L 0 100 L 0 10 A 10 10 0 0 1 10 0 Z");
    expect(corners(rounded)).toHaveLength(1);
    const [at] = corners(rounded);
    const [near] = stationsAt(rounded, [at - 3]);
    expect(near.corner).toBeCloseTo(3, 9);
    expect(corners(only("M0 0 h 10 v 10 h -10 z"))).toEqual([0, 10, 20, 30]);
    expect(walk(only("M0 0 h 10 v 10 h -10 z"), 10).map((w) => w.corner)).toEqual([5, 5, 5, 5]);
    expect(walk(only("M0 0 L 100 0"), 10).map((w) => w.corner)).toEqual([5, 15, 25, 35, 45, 45, 35, 25, 15, 5]);
  });

  it("lays 10 mm stretches end to end, one for a shorter subpath", () => {
    expect(stretches(only("M0 0 h 400"))).toHaveLength(40);
    expect(stretches(only("M0 0 h 4"))).toEqual([{ s0: 0, s1: 4, midpoint: { x: 2, y: 0 }, normal: { x: -0, y: 1 } }]);
    const all = stretches(only("M0 0 h 37"));
    expect(all.map(({ s0, s1 }) => [s0, s1])).toEqual([[0, 10], [10, 20], [20, 30], [30, 37]]);
    expect(stretches(only("M0 0 h 33")).map(({ s1 }) => s1)).toEqual([10, 20, 33]);
  });

  it("means a shift's deviation along a stretch, corners and tight bends included, as many stations do", () => {
    const slot = "M 20 30 H 50 A 1.2 1.2 0 0 1 50 32.4 H 20 A 1.2 1.2 0 0 1 20 30 Z";
    fc.assert(
      fc.property(fc.constantFrom(slot, "M 3 4 v 17 h 17 v -17 z", "M 0 0 C 40 80 90 -50 100 40"), fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: -1, max: 1, noNaN: true }), (path, x, y) => {
        const subpath = flattenCut(cut(path))[0];
        const laid = stretches(subpath);
        for (const [k, parts] of partsOf(subpath, laid, 8).entries()) {
          const many = stationsAlong(subpath, laid[k], 2000);
          const mean = (all: readonly { nx: number; ny: number }[]): number => all.reduce((sum, { nx, ny }) => sum + (x * nx + y * ny) / all.length, 0);
          expect(mean(parts)).toBeCloseTo(mean(many), 2);
        }
      }),
      { numRuns: 30 },
    );
  });

  it("takes a bend as tight as a slot's end for a corner all along, but not a small hole", () => {
    const slot = only("M 20 30 H 50 A 1.2 1.2 0 0 1 50 32.4 H 20 A 1.2 1.2 0 0 1 20 30 Z");
    for (const { x, corner } of walk(slot, 0.25)) expect(corner).toBeLessThan(x < 20 || x > 50 ? 0.25 : 15.01);
    for (const { corner } of walk(flattenCut(circle(5, 5, 1.2))[0], 0.25)) expect(corner).toBe(Infinity);
  });
});

describe("faults of a cut", () => {
  it.each(["M 1 1", "M 0 0 L 0 0", "M 0 0 L NaN 3", "M 0 0 L 1e999 3", "", "L 3 3", "M 0 0 L 5", "hello", "M 0 0 L 1e9 0", "M 0 0 A 5 5 0 2 1 9 9"])("%j is refused with a reason and flattened to nothing", (path) => {
    expect(cutFault(cut(path))).toEqual(expect.any(String));
    expect(flattenCut(cut(path))).toEqual([]);
  });

  it("never throws and never gives a non-finite point", () => {
    fc.assert(
      fc.property(fc.array(fc.oneof(fc.constantFrom(..."MmLlHhVvCcSsQqTtAaZz"), fc.double({ min: -1e4, max: 1e4 }).map(String), fc.constantFrom(",", " ", "1", "0"))), (parts) => {
        for (const s of flattenCut(cut(`M 0 0 ${parts.join(" ")}`))) {
          expect(s.points.every((p) => Number.isFinite(p.x) && Number.isFinite(p.y))).toBe(true);
          expect(s.length).toBeGreaterThan(0);
        }
      }),
    );
  });
});
