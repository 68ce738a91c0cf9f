import { bilinear } from "./bilinear.ts";
import { linearTable } from "./light.ts";
import type { Picture } from "./picture.ts";

/** How much of red, green and blue makes the value that is sampled. Grey pictures ignore it. */
export type PlaneWeights = readonly [r: number, g: number, b: number];

/** Equal parts: the least noise for a neutral mark. */
export const neutral: PlaneWeights = [1 / 3, 1 / 3, 1 / 3];

/** Red, green and blue alone. */
export const primaries: readonly PlaneWeights[] = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

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
  return picture.channels === 1 ? new GreySampler(picture, table) : new ColourSampler(picture, weights.map((w) => scaled(table, w)));
}

/** A loop, not a map: each piece of each cut may have a mix of its own. */
function scaled(table: Float32Array, weight: number): Float32Array {
  const out = new Float32Array(table.length);
  for (let i = 0; i < out.length; i++) out[i] = table[i] * weight;
  return out;
}

// Classes, not closures over a picture: what is compiled of closures goes with them, and these would go with each picture. A loop starts from parameters times one, which are
// numbers beyond doubt: else each step makes objects of them.

class GreySampler implements Sampler {
  readonly width: number;
  readonly height: number;
  private readonly data: Picture["data"];
  private readonly table: Float32Array;

  constructor({ width, height, data }: Picture, table: Float32Array) {
    this.width = width;
    this.height = height;
    this.data = data;
    this.table = table;
  }

  at(x: number, y: number): number {
    return this.table[this.data[y * this.width + x]];
  }

  line(fromX: number, fromY: number, firstX: number, firstY: number, count: number, out: Float32Array, start: number, bend = straight): void {
    const { width, height, data, table } = this;
    let [x, y, dx, dy] = [1 * fromX, 1 * fromY, 1 * firstX, 1 * firstY];
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
  }
}

class ColourSampler implements Sampler {
  readonly width: number;
  readonly height: number;
  private readonly data: Picture["data"];
  private readonly red: Float32Array;
  private readonly green: Float32Array;
  private readonly blue: Float32Array;

  constructor({ width, height, data }: Picture, [red, green, blue]: readonly Float32Array[]) {
    this.width = width;
    this.height = height;
    this.data = data;
    this.red = red;
    this.green = green;
    this.blue = blue;
  }

  at(x: number, y: number): number {
    return mixed(this.data, 3 * (y * this.width + x), this.red, this.green, this.blue);
  }

  line(fromX: number, fromY: number, firstX: number, firstY: number, count: number, out: Float32Array, start: number, bend = straight): void {
    const { width, height, data, red, green, blue } = this;
    const row = width * 3;
    let [x, y, dx, dy] = [1 * fromX, 1 * fromY, 1 * firstX, 1 * firstY];
    // Steps are mostly less than a pixel: four mixed corners often serve the next point too.
    let corner = -1;
    let [a, b, c, d] = [0.5, 0.5, 0.5, 0.5];
    for (let i = 0; i < count; i++, x += dx, y += dy, dx += bend.x, dy += bend.y) {
      if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) {
        out[start + i] = NaN;
        continue;
      }
      const x0 = Math.min(x | 0, width - 2);
      const y0 = Math.min(y | 0, height - 2);
      const k = y0 * row + x0 * 3;
      if (k !== corner) {
        corner = k;
        a = mixed(data, k, red, green, blue);
        b = mixed(data, k + 3, red, green, blue);
        c = mixed(data, k + row, red, green, blue);
        d = mixed(data, k + row + 3, red, green, blue);
      }
      out[start + i] = bilinear(a, b, c, d, x - x0, y - y0);
    }
  }
}

/** The mix of the three samples from k on, each with a table of its own. */
function mixed(data: Picture["data"], k: number, red: Float32Array, green: Float32Array, blue: Float32Array): number {
  return red[data[k]] + green[data[k + 1]] + blue[data[k + 2]];
}
