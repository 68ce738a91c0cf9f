import type { Sampler } from "../image/sampler.ts";

/**
 * Blur of the picture's sharpest clear edges, sigma in px: for an edge of height h and greatest slope g, h/(g sqrt(2 pi)). Looks along
 * some hundred rows and columns; null where no clear edge is seen. Only used to say why something was not found.
 */
export function sharpestBlur(sampler: Sampler): number | null {
  const widths: number[] = [];
  const lines = 120;
  for (const along of ["rows", "columns"] as const) {
    const length = along === "rows" ? sampler.width : sampler.height;
    const across = along === "rows" ? sampler.height : sampler.width;
    const values = new Float32Array(length);
    for (let k = 0; k < lines; k++) {
      const at = Math.floor(((k + 0.5) * across) / lines);
      for (let i = 0; i < length; i++) values[i] = along === "rows" ? sampler.at(i, at) : sampler.at(at, i);
      collect(values, widths);
    }
  }
  if (widths.length < 20) return null;
  widths.sort((a, b) => a - b);
  return widths[Math.floor(widths.length / 10)];
}

/** Adds the blur of each steep place that is the steepest within its neighbourhood and part of a clear edge. */
function collect(values: Float32Array, widths: number[]): void {
  const reach = 24;
  for (let i = reach; i + reach < values.length; i += 8) {
    let steepest = 0;
    let at = i;
    let low = Infinity;
    let high = -Infinity;
    for (let k = i - reach; k <= i + reach; k++) {
      const v = values[k];
      if (v < low) low = v;
      if (v > high) high = v;
      // Slope over four pixels: noise counts a quarter.
      const g = k - 2 >= i - reach && k + 2 <= i + reach ? Math.abs(values[k + 2] - values[k - 2]) / 4 : 0;
      if (g > steepest) {
        steepest = g;
        at = k;
      }
    }
    if (high - low < 0.12 || Math.abs(at - i) > 4 || steepest === 0) continue;
    widths.push((high - low) / (steepest * Math.sqrt(2 * Math.PI)));
  }
}
