import type { Picture } from "./picture.ts";

/** An 8-bit copy of one plane of a picture, smaller by a whole factor; for finding only, never for locating. */
export interface Reduced {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
  /** Side of the block of picture pixels behind one pixel of the copy. */
  readonly factor: number;
}

/** "grey" is the mean of the three channels; a single channel shows inks that the mean hardly shows (yellow in blue). */
export type Plane = "grey" | "red" | "green" | "blue";

/**
 * Averages blocks of factor x factor pixels, of large ones every second row (a last incomplete row or column of blocks is left out). Pixel (i, j) of the copy has its centre
 * at ((i + 0.5) factor - 0.5, (j + 0.5) factor - 0.5) of the picture: see `toFull`.
 */
export function reduce(picture: Picture, factor: number, plane: Plane = "grey"): Reduced {
  const { channels, data } = picture;
  const width = Math.floor(picture.width / factor);
  const height = Math.floor(picture.height / factor);
  const out = new Uint8Array(width * height);
  const sums = new Int32Array(width);
  const whole = channels === 3 && plane === "grey";
  const first = channels === 3 ? { grey: 0, red: 0, green: 1, blue: 2 }[plane] : 0;
  const full = data instanceof Uint16Array ? 257 : 1;
  // Of large blocks every second row does: half the reading, and their noise is small still.
  const everyRow = factor < THINNED_FROM ? 1 : 2;
  const scale = 1 / (factor * Math.ceil(factor / everyRow) * (whole ? 3 : 1) * full);
  for (let j = 0; j < height; j++) {
    sums.fill(0);
    for (let b = 0; b < factor; b += everyRow) {
      const k = (j * factor + b) * picture.width * channels + first;
      if (whole) addRowOfThree(data, k, factor, sums);
      else addRow(data, k, factor, channels, sums);
    }
    writeMeans(out, j * width, sums, scale);
  }
  return { width, height, data: out, factor };
}

/** Side of a block, px, from which every second of its rows is left out. */
const THINNED_FROM = 3;

function addRow(data: Picture["data"], k: number, factor: number, stride: number, sums: Int32Array): void {
  if (factor === 2) {
    for (let i = 0; i < sums.length; i++, k += 2 * stride) sums[i] += data[k] + data[k + stride];
    return;
  }
  for (let i = 0; i < sums.length; i++) {
    let sum = 0;
    for (let a = 0; a < factor; a++, k += stride) sum += data[k];
    sums[i] += sum;
  }
}

function addRowOfThree(data: Picture["data"], k: number, factor: number, sums: Int32Array): void {
  if (factor === 2) {
    for (let i = 0; i < sums.length; i++, k += 6) sums[i] += data[k] + data[k + 1] + data[k + 2] + data[k + 3] + data[k + 4] + data[k + 5];
    return;
  }
  for (let i = 0; i < sums.length; i++) {
    let sum = 0;
    for (let a = 0; a < factor; a++, k += 3) sum += data[k] + data[k + 1] + data[k + 2];
    sums[i] += sum;
  }
}

function writeMeans(out: Uint8Array, from: number, sums: Int32Array, scale: number): void {
  for (let i = 0; i < sums.length; i++) out[from + i] = sums[i] * scale + 0.5;
}

/** A coordinate of the reduced copy as a coordinate of the picture it was made of. */
export function toFull(reduced: Reduced, v: number): number {
  return (v + 0.5) * reduced.factor - 0.5;
}
