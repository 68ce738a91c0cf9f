import type { Chunk, StripGrid } from "../strips/strip.ts";

/** The profile that many chunks have in common, and the noise (standard deviation) of its samples. */
export interface PooledProfile {
  readonly profile: Float64Array;
  readonly noise: number;
}

/** Fewer chunks than this are not pooled. */
export const FEWEST = 6;
/** Variance that reading between pixels, or between the samples of a strip, adds to the blur, in squares of their distance: the mean of f (1 - f). */
const BETWEEN = 1 / 6;
/** A place known no better than this, mm, tells nothing. */
export const TELLS_NOTHING = 0.15;

/** The light of a chunk at `half` places to either side of t mm, `stride` samples of the strip apart; null where the strip does not reach so far. */
export function rowAbout({ profile }: Pick<Chunk, "profile">, t: number, grid: StripGrid, half: number, stride = 1): Float64Array | null {
  const start = (t + grid.reach) / grid.step - half * stride;
  const k = Math.floor(start);
  const f = start - k;
  if (k < 0 || k + 2 * half * stride + 1 >= grid.count) return null;
  const row = new Float64Array(2 * half + 1);
  for (let i = 0, at = k; i < row.length; i++, at += stride) row[i] = profile[at] * (1 - f) + profile[at + 1] * f;
  return row;
}

/** Takes the line through its ends out of a row. */
export function aboveEnds(row: Float64Array): Float64Array {
  const first = row[0];
  const slope = (row[row.length - 1] - first) / (row.length - 1);
  return row.map((v, i) => v - first - slope * i);
}

/** Lays rows on each other: the mean of the middle half of them at each distance; null where fewer than FEWEST are seen there. */
export function poolRows(rows: readonly Float64Array[]): PooledProfile | null {
  if (rows.length < FEWEST) return null;
  const profile = new Float64Array(rows[0].length);
  let variance = 0;
  const column = new Float64Array(rows.length);
  for (let i = 0; i < profile.length; i++) {
    let n = 0;
    for (const row of rows) if (!Number.isNaN(row[i])) column[n++] = row[i];
    if (n < FEWEST) return null;
    const sorted = column.subarray(0, n).sort();
    const skip = n >> 2;
    // The quartiles of a normal scatter lie 1.349 sigma apart; the mean of the middle half has 1.09 times the mean's standard error.
    variance += (((sorted[n - 1 - skip] - sorted[skip]) / 1.349) * 1.09) ** 2 / n;
    let sum = 0;
    for (let k = skip; k < n - skip; k++) sum += sorted[k];
    profile[i] = sum / (n - 2 * skip);
  }
  return { profile, noise: Math.sqrt(variance / profile.length) };
}

/** The blur of pooled profiles, mm: the picture's and what reading between its pixels adds, and between a strip's samples `step` mm apart (0 where they were not). */
export function pooledBlur(chunks: readonly { readonly chunk: Chunk }[], blur: number, step: number): number {
  const scale = chunks.reduce((s, c) => s + c.chunk.scale, 0) / chunks.length;
  return Math.hypot(blur, Math.sqrt(BETWEEN) / scale, Math.sqrt(BETWEEN) * step);
}
