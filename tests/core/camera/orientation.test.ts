import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { distort, LENS_PARAMETERS, type Lens } from "../../../core/camera/lens.ts";
import { fromSensor, isTurnedSideways, toSensor, turnCovariance, turnLens } from "../../../core/camera/orientation.ts";

const [WIDTH, HEIGHT] = [4000, 3000];
const orientation = fc.integer({ min: 1, max: 8 });
const place = fc.record({ x: fc.double({ min: 0, max: WIDTH - 1, noNaN: true }), y: fc.double({ min: 0, max: HEIGHT - 1, noNaN: true }) });
const shown = (o: number): [number, number] => (isTurnedSideways(o) ? [HEIGHT, WIDTH] : [WIDTH, HEIGHT]);
const lens: Lens = { fx: 3900, fy: 3950, cx: 2040, cy: 1470, k1: -0.2, k2: 0.05, p1: 0.0012, p2: -0.0008, k3: 0 };

describe("EXIF orientation", () => {
  it("carries the sensor's corners where the standard says (Exif 2.32, tag 0x0112, from memory): 6 is a quarter turn to the right, 2 a mirror", () => {
    // Orientation 6: the sensor's upper left is seen at the upper right.
    expect(fromSensor(6, WIDTH, HEIGHT, { x: 0, y: 0 })).toEqual({ x: HEIGHT - 1, y: 0 });
    expect(fromSensor(8, WIDTH, HEIGHT, { x: 0, y: 0 })).toEqual({ x: 0, y: WIDTH - 1 });
    expect(fromSensor(3, WIDTH, HEIGHT, { x: 0, y: 0 })).toEqual({ x: WIDTH - 1, y: HEIGHT - 1 });
    expect(fromSensor(2, WIDTH, HEIGHT, { x: 0, y: 0 })).toEqual({ x: WIDTH - 1, y: 0 });
  });

  it("comes back from every orientation, and stays inside the picture as shown", () => {
    fc.assert(fc.property(orientation, place, (o, p) => {
      const [w, h] = shown(o);
      const q = fromSensor(o, WIDTH, HEIGHT, p);
      expect(q.x).toBeGreaterThanOrEqual(-1e-9);
      expect(q.x).toBeLessThanOrEqual(w - 1 + 1e-9);
      expect(q.y).toBeLessThanOrEqual(h - 1 + 1e-9);
      const back = toSensor(o, WIDTH, HEIGHT, q);
      expect(Math.hypot(back.x - p.x, back.y - p.y)).toBeLessThan(1e-9);
    }));
  });

  it("turns a lens so that turning the bent point and bending the turned point are the same", () => {
    fc.assert(fc.property(orientation, place, (o, p) => {
      const bent = distort(lens, p.x, p.y);
      const turned = fromSensor(o, WIDTH, HEIGHT, p);
      const one = fromSensor(o, WIDTH, HEIGHT, bent);
      const other = distort(turnLens(lens, o, WIDTH, HEIGHT), turned.x, turned.y);
      expect(Math.hypot(one.x - other.x, one.y - other.y)).toBeLessThan(1e-8);
    }));
  });

  it("turns the covariance as the lens's own terms turn (numeric derivatives)", () => {
    const covariance = LENS_PARAMETERS.map((_, i) => LENS_PARAMETERS.map((_n, j) => (i === j ? 1 + i : 0.1 * (i + j) * ((i * j) % 3 === 0 ? 1 : -1))));
    for (let o = 1; o <= 8; o++) {
      const at = (l: Lens): number[] => LENS_PARAMETERS.map((name) => turnLens(l, o, WIDTH, HEIGHT)[name]);
      const J = LENS_PARAMETERS.map((name) => {
        const [plus, minus] = [at({ ...lens, [name]: lens[name] + 0.5 }), at({ ...lens, [name]: lens[name] - 0.5 })];
        return plus.map((v, i) => v - minus[i]);
      });
      const wanted = LENS_PARAMETERS.map((_, i) => LENS_PARAMETERS.map((_n, j) => J.reduce((s, row, a) => s + J.reduce((t, column, b) => t + row[i] * covariance[a][b] * column[j], 0), 0)));
      turnCovariance(covariance, o).forEach((row, i) => row.forEach((v, j) => expect(v, `orientation ${o}, ${i} ${j}`).toBeCloseTo(wanted[i][j], 6)));
    }
  });
});
