import { bilinear } from "./bilinear.ts";
import { linearTable } from "./light.ts";
import type { Picture } from "./picture.ts";

/** How much of red, green and blue makes the value that is sampled. Grey pictures ignore it. */
export type PlaneWeights = readonly [r: number, g: number, b: number];

/** Equal parts: the least noise for a neutral mark. */
export const neutral: PlaneWeights = [1 / 3, 1 / 3, 1 / 3];

/** Reads linear light out of a picture, by whole pixels or between them. */
export interface Sampler {
  readonly width: number;
  readonly height: number;
  /** Linear light of pixel (x, y); both must be whole and inside. */
  at(x: number, y: number): number;
  /**
   * Samples `count` points from (x, y) in steps of (dx, dy) into `out` from `start`, bilinear, NaN outside the picture.
   * (x, y) are picture pixels with the first pixel's centre at (0, 0).
   */
  line(x: number, y: number, dx: number, dy: number, count: number, out: Float32Array, start: number, bend?: Bend): void;
}

/** Second differences of a row of sample points: a straight line of the sheet, evenly divided, is neither even nor straight in a picture taken askew. */
export interface Bend {
  readonly x: number;
  readonly y: number;
}

const straight: Bend = { x: 0, y: 0 };

/** Makes a sampler of `picture` on the plane given by `weights`. */
export function samplerOf(picture: Picture, weights: PlaneWeights = neutral): Sampler {
  const table = linearTable(picture);
  return picture.channels === 1 ? greySampler(picture, table) : colourSampler(picture, weights.map((w) => table.map((v) => v * w)));
}

function greySampler({ width, height, data }: Picture, table: Float32Array): Sampler {
  return {
    width,
    height,
    at: (x, y) => table[data[y * width + x]],
    line(x, y, dx, dy, count, out, start, bend = straight) {
      for (let i = 0; i < count; i++, x += dx, y += dy, dx += bend.x, dy += bend.y) {
        if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) {
          out[start + i] = NaN;
          continue;
        }
        const x0 = Math.min(x | 0, width - 2);
        const y0 = Math.min(y | 0, height - 2);
        const k = y0 * width + x0;
        out[start + i] = bilinear(table[data[k]], table[data[k + 1]], table[data[k + width]], table[data[k + width + 1]], x - x0, y - y0);
      }
    },
  };
}

function colourSampler({ width, height, data }: Picture, [r, g, b]: Float32Array[]): Sampler {
  const row = width * 3;
  const pick = (k: number) => r[data[k]] + g[data[k + 1]] + b[data[k + 2]];
  return {
    width,
    height,
    at: (x, y) => pick(y * row + x * 3),
    line(x, y, dx, dy, count, out, start, bend = straight) {
      for (let i = 0; i < count; i++, x += dx, y += dy, dx += bend.x, dy += bend.y) {
        if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) {
          out[start + i] = NaN;
          continue;
        }
        const x0 = Math.min(x | 0, width - 2);
        const y0 = Math.min(y | 0, height - 2);
        const k = y0 * row + x0 * 3;
        out[start + i] = bilinear(pick(k), pick(k + 3), pick(k + row), pick(k + row + 3), x - x0, y - y0);
      }
    },
  };
}
