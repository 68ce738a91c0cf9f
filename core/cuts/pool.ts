import type { Chunk, StripGrid } from "./strip.ts";

/** A chunk and where a symmetric fit put the cut in it, mm. */
export interface Aligned {
  readonly chunk: Chunk;
  readonly t: number;
}

/** The profile that many chunks have in common, and the noise (standard deviation) of its samples. */
export interface PooledProfile {
  readonly profile: Float64Array;
  readonly noise: number;
}

/** Fewer chunks than this are not pooled. */
export const FEWEST = 6;
/** Variance that reading between pixels adds to the blur, px^2: the mean of f (1 - f) over a pixel. */
const BETWEEN_PIXELS = 1 / 6;
/** A place known no better than this, mm, tells nothing. */
export const TELLS_NOTHING = 0.15;

/**
 * Lays chunks on each other, `half` samples to either side of where the cut was found, and takes the mean of the middle half at each distance. `normalise` brings one chunk's samples to
 * the units of the others, in place; false leaves the chunk out. Null where fewer than FEWEST remain.
 */
export function poolProfiles(chunks: readonly Aligned[], grid: StripGrid, half: number, normalise: (row: Float64Array) => boolean): PooledProfile | null {
  const columns: number[][] = Array.from({ length: 2 * half + 1 }, () => []);
  const row = new Float64Array(2 * half + 1);
  for (const { chunk, t } of chunks) {
    const start = (t + grid.reach) / grid.step - half;
    const k = Math.floor(start);
    const f = start - k;
    if (k < 0 || k + 2 * half + 1 >= grid.count) continue;
    for (let i = 0; i <= 2 * half; i++) row[i] = chunk.profile[k + i] * (1 - f) + chunk.profile[k + i + 1] * f;
    if (!normalise(row)) continue;
    row.forEach((v, i) => {
      if (!Number.isNaN(v)) columns[i].push(v);
    });
  }
  if (columns.some((c) => c.length < FEWEST)) return null;
  let variance = 0;
  const profile = Float64Array.from(columns, (c) => {
    c.sort((a, b) => a - b);
    const skip = c.length >> 2;
    const middle = c.slice(skip, c.length - skip);
    // The quartiles of a normal scatter lie 1.349 sigma apart; the mean of the middle half has 1.09 times the mean's standard error.
    variance += (((c[c.length - 1 - skip] - c[skip]) / 1.349) * 1.09) ** 2 / c.length;
    return middle.reduce((s, v) => s + v, 0) / middle.length;
  });
  return { profile, noise: Math.sqrt(variance / columns.length) };
}

/** The blur of pooled profiles, mm: the picture's and what reading between its pixels adds. */
export function pooledBlur(chunks: readonly Aligned[], blur: number): number {
  const scale = chunks.reduce((s, c) => s + c.chunk.scale, 0) / chunks.length;
  return Math.hypot(blur, Math.sqrt(BETWEEN_PIXELS) / scale);
}
