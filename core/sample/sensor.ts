import type { Picture } from "../image/picture.ts";
import type { Random } from "./random.ts";
import { DRAWN_BLUR, type SensorLook } from "./scene.ts";

/** Turns light (one plane per channel, already blurred by DRAWN_BLUR) into coded samples: rest of the blur, falloff, noise, sRGB. */
export function expose(planes: readonly Float32Array[], width: number, height: number, look: SensorLook, vignette: number, random: Random): Picture {
  for (const plane of planes) blur(plane, width, height, look);
  const channels = look.channels;
  const data = new Uint8Array(width * height * channels);
  const noise = Float32Array.from({ length: 1 << 16 }, () => random.normal());
  const cx = (width - 1) / 2;
  const cy = (height - 1) / 2;
  const perCorner = vignette / (cx * cx + cy * cy);
  const [shot, read] = [look.shot, look.read * look.read];
  const last = CODES.length - 1;
  const picks = new Uint16Array(width * channels);
  let state = (random.next() * 4294967296) | 1;
  for (let y = 0; y < height; y++) {
    // xorshift32 (G. Marsaglia, 2003) picks from the table of normal values.
    for (let n = 0; n < picks.length; n++) {
      state ^= state << 13;
      state ^= state >>> 17;
      state ^= state << 5;
      picks[n] = state >>> 8;
    }
    const middle = 1 - perCorner * (y - cy) * (y - cy);
    for (let k = 0; k < channels; k++) {
      const plane = planes[k];
      for (let x = 0, i = y * width, n = k, at = y * picks.length + k; x < width; x++, i++, n += channels, at += channels) {
        const light = plane[i] * (middle - perCorner * (x - cx) * (x - cx));
        const seen = light + noise[picks[n]] * Math.sqrt((light > 0 ? shot * light : 0) + read);
        data[at] = CODES[seen <= 0 ? 0 : seen >= 1 ? last : (seen * last + 0.5) | 0];
      }
    }
  }
  return { width, height, channels, data, transfer: "srgb", ...(look.density ? { density: { x: look.density, y: look.density } } : {}) };
}

/** Linear light to 8-bit sRGB (IEC 61966-2-1), finely enough that no dark code is skipped. */
const CODES = Uint8Array.from({ length: 65536 }, (_, i) => {
  const v = i / 65535;
  return Math.round(255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055));
});

/** What is missing from DRAWN_BLUR to the whole: a Gaussian along rows and one along columns. */
function blur(plane: Float32Array, width: number, height: number, look: SensorLook): void {
  const rest = (whole: number): number => Math.sqrt(Math.max(0, whole * whole - DRAWN_BLUR * DRAWN_BLUR));
  if (rest(look.blur.x) > 0.05) alongRows(plane, width, height, gaussian(rest(look.blur.x)));
  if (rest(look.blur.y) > 0.05) alongColumns(plane, width, height, gaussian(rest(look.blur.y)));
}

/** Weights of a sampled Gaussian, middle in the centre, sum 1. */
function gaussian(sigma: number): Float64Array {
  const reach = Math.max(1, Math.ceil(4 * sigma));
  const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigma) ** 2));
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / sum);
}

function alongRows(plane: Float32Array, width: number, height: number, kernel: Float64Array): void {
  const reach = (kernel.length - 1) / 2;
  const padded = new Float32Array(width + 2 * reach);
  const shifted = Array.from(kernel, (_, j) => padded.subarray(j, j + width));
  for (let y = 0; y < height; y++) {
    const row = plane.subarray(y * width, (y + 1) * width);
    padded.fill(row[0], 0, reach);
    padded.set(row, reach);
    padded.fill(row[width - 1], reach + width);
    weigh(shifted, kernel, row);
  }
}

function alongColumns(plane: Float32Array, width: number, height: number, kernel: Float64Array): void {
  const reach = (kernel.length - 1) / 2;
  const row = (y: number): Float32Array => plane.subarray(Math.max(0, Math.min(height - 1, y)) * width, (Math.max(0, Math.min(height - 1, y)) + 1) * width);
  const kept = Array.from(kernel, (_, j) => row(j - reach).slice());
  for (let y = 0; y < height; y++) {
    weigh(kept, kernel, row(y));
    const next = kept.shift()!;
    next.set(row(y + 1 + reach));
    kept.push(next);
  }
}

/** Weighted sum of rows; the weights are the same on both sides of the middle, two pairs of rows are added at a time. */
function weigh(rows: readonly Float32Array[], weights: Float64Array, out: Float32Array): void {
  const middle = (rows.length - 1) / 2;
  const centre = rows[middle];
  const w = weights[middle];
  const width = out.length;
  for (let x = 0; x < width; x++) out[x] = w * centre[x];
  for (let j = middle - 1; j >= 0; j -= 2) {
    const [a, b, wa] = [rows[j], rows[2 * middle - j], weights[j]];
    const paired = j > 0;
    const [c, d, wc] = paired ? [rows[j - 1], rows[2 * middle - j + 1], weights[j - 1]] : [a, b, 0];
    for (let x = 0; x < width; x++) out[x] += wa * (a[x] + b[x]) + wc * (c[x] + d[x]);
  }
}
