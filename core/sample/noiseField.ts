import type { Random } from "./random.ts";

/** A smooth random field over the plane, of mean 0 and standard deviation about 1, features about one unit wide, period 256. */
export type NoiseField = (x: number, y: number) => number;

const SIZE = 256;

/** Makes a field from normal values on a lattice, interpolated by the quintic fade of gradient noise (its slope is continuous). */
export function noiseField(random: Random): NoiseField {
  const values = Float32Array.from({ length: SIZE * SIZE }, () => random.normal() * 1.4);
  return (x, y) => {
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
    return top + v * (b + u * (values[row1 | c1] - b) - top);
  };
}
