import { integral } from "../../../core/image/normal.ts";
import { stripGrid, type Chunk, type StripGrid } from "../../../core/cuts/strips/strip.ts";

/** What lies across a made-up cut: a slit of the given depth, a shade beside it, a step of the ground, noise. Light 0..1, lengths in mm. */
export interface Across {
  readonly at: number;
  readonly width: number;
  readonly depth: number;
  readonly ground?: number;
  readonly step?: number;
  readonly noise?: () => number;
}

export const grid: StripGrid = stripGrid(3, 5, 0.15);

/** A chunk with that profile, as a strip would hold it: a straight piece 5 mm long at `s`, its normal along x. */
export function chunkWith({ at, width, depth, ground = 0.8, step = 0, noise = () => 0 }: Across, s = 2.5, of: StripGrid = grid): Chunk {
  const profile = Float32Array.from({ length: of.count }, (_, i) => {
    const t = i * of.step - of.reach - at;
    return ground + step * (integral(t / width) - 0.5) - depth * Math.exp(-0.5 * (t / width) ** 2) + noise();
  });
  return { s, length: 5, x: 0, y: s, nx: 1, ny: 0, tx: 0, ty: 1, curvature: 0, profile, stations: 20, ux: 1, uy: 0, scale: 5 };
}
