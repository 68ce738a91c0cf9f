import type { Random } from "./random.ts";

/** A linear map of the plane: (x, y) -> (xx x + xy y + x0, yx x + yy y + y0). */
export type Lattice = readonly [xx: number, xy: number, x0: number, yx: number, yy: number, y0: number];

/** A smooth random field over the plane, of mean 0 and standard deviation about 1, features about one unit wide, period 256. */
export interface NoiseField {
  at(x: number, y: number): number;
  /** Adds `weight` times the field at many points, each carried onto the field's lattice first, to `out`. */
  add(out: Float64Array, weight: number, lattice: Lattice, x: Float64Array, y: Float64Array, count: number): void;
}

const SIZE = 256;

/** Makes a field from normal values on a lattice, interpolated by the quintic fade of gradient noise (its slope is continuous). */
export function noiseField(random: Random): NoiseField {
  const values = Float32Array.from({ length: SIZE * SIZE }, () => random.normal() * 1.4);
  const [one, x1, y1] = [new Float64Array(1), new Float64Array(1), new Float64Array(1)];
  return {
    at(x, y) {
      one[0] = 0;
      x1[0] = x;
      y1[0] = y;
      addNoise(values, one, 1, [1, 0, 0, 0, 1, 0], x1, y1, 1);
      return one[0];
    },
    add: (out, weight, lattice, x, y, count) => addNoise(values, out, weight, lattice, x, y, count),
  };
}

/** Point by point in one loop: as a function of two numbers it would be called, with its numbers boxed, some ten times for each pixel. */
function addNoise(values: Float32Array, out: Float64Array, weight: number, lattice: Lattice, xs: Float64Array, ys: Float64Array, count: number): void {
  const [xx, xy, x0, yx, yy, y0] = lattice;
  for (let i = 0; i < count; i++) {
    const x = xx * xs[i] + xy * ys[i] + x0;
    const y = yx * xs[i] + yy * ys[i] + y0;
    const ix = Math.floor(x);
    const iy = Math.floor(y);
    const fx = x - ix;
    const fy = y - iy;
    const u = fx * fx * fx * (fx * (fx * 6 - 15) + 10);
    const v = fy * fy * fy * (fy * (fy * 6 - 15) + 10);
    const row0 = (iy & 255) << 8;
    const row1 = ((iy + 1) & 255) << 8;
    const c0 = ix & 255;
    const c1 = (ix + 1) & 255;
    const a = values[row0 | c0];
    const b = values[row1 | c0];
    const top = a + u * (values[row0 | c1] - a);
    out[i] += weight * (top + v * (b + u * (values[row1 | c1] - b) - top));
  }
}
