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
  const corner = cx * cx + cy * cy;
  let state = (random.next() * 4294967296) | 1;
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      const fall = 1 - (vignette * ((x - cx) ** 2 + (y - cy) ** 2)) / corner;
      for (let k = 0; k < channels; k++) {
        // xorshift32 (G. Marsaglia, 2003) picks from the table of normal values.
        state ^= state << 13;
        state ^= state >>> 17;
        state ^= state << 5;
        const light = planes[k][i] * fall;
        const seen = light + noise[(state >>> 8) & 65535] * Math.sqrt(look.shot * Math.max(0, light) + look.read * look.read);
        data[i * channels + k] = CODES[seen <= 0 ? 0 : seen >= 1 ? CODES.length - 1 : Math.round(seen * (CODES.length - 1))];
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
  const row = new Float32Array(width + 2 * reach);
  for (let y = 0; y < height; y++) {
    const at = y * width;
    row.set(plane.subarray(at, at + width), reach);
    row.fill(plane[at], 0, reach);
    row.fill(plane[at + width - 1], reach + width);
    for (let x = 0; x < width; x++) {
      let sum = kernel[reach] * row[x + reach];
      for (let j = 0; j < reach; j++) sum += kernel[j] * (row[x + j] + row[x + 2 * reach - j]);
      plane[at + x] = sum;
    }
  }
}

function alongColumns(plane: Float32Array, width: number, height: number, kernel: Float64Array): void {
  const reach = (kernel.length - 1) / 2;
  const kept: Float32Array[] = [];
  const rowAt = (y: number): Float32Array => plane.slice(Math.min(height - 1, y) * width, (Math.min(height - 1, y) + 1) * width);
  for (let j = -reach; j <= reach; j++) kept.push(rowAt(Math.max(0, j)));
  const sum = new Float32Array(width);
  for (let y = 0; y < height; y++) {
    sum.fill(0);
    for (let j = 0; j < kernel.length; j++) {
      const from = kept[j];
      const w = kernel[j];
      for (let x = 0; x < width; x++) sum[x] += w * from[x];
    }
    plane.set(sum, y * width);
    kept.shift();
    kept.push(rowAt(y + 1 + reach));
  }
}
