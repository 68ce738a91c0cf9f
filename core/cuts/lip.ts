import type { Chunk, StripGrid } from "./strip.ts";
import { LEAST_NOISE, placeSlit, profileHalf } from "./slitProfile.ts";

/**
 * A slit has a lip where the blade went in: a bright edge on the lit side, a shaded one on the other. A symmetric line fitted to
 * that profile lies off its slit towards the shade, by the same amount wherever the cut runs in the same direction, so it would pass for an offset.
 * Here the profiles of all chunks of one direction are laid on each other, which leaves hardly any noise, and the slit is placed in the sum (see slitProfile.ts).
 */
export interface LipBias {
  /** What to add to t, mm. */
  readonly shift: number;
  /** Standard uncertainty of the shift, mm. */
  readonly sigma: number;
}

export interface Aligned {
  readonly chunk: Chunk;
  /** Where the symmetric fit put the line, mm. */
  readonly t: number;
}

/** Fewer chunks than this are not pooled. */
const FEWEST = 6;
/** Variance that reading between pixels adds to the blur, px^2: the mean of f (1 - f) over a pixel. */
const BETWEEN_PIXELS = 1 / 6;

/** The bias of the symmetric fit for the chunks of one direction; null where they are too few to tell. `blur`: of the picture, mm along the normal. */
export function lipBias(chunks: readonly Aligned[], grid: StripGrid, blur: number): LipBias | null {
  if (chunks.length < FEWEST) return null;
  const half = profileHalf(blur, grid.step);
  const pooled = pool(chunks, grid, half);
  if (!pooled) return null;
  const scale = chunks.reduce((s, c) => s + c.chunk.scale, 0) / chunks.length;
  const place = placeSlit(pooled.profile, grid.step, Math.max(LEAST_NOISE, pooled.noise), Math.hypot(blur, Math.sqrt(BETWEEN_PIXELS) / scale));
  return place && place.sigma < TELLS_NOTHING ? place : null;
}
/** A slit's place known no better than this, mm, says nothing of its lip. */
const TELLS_NOTHING = 0.15;

/** The mean profile as a share of the ground's light, by the mean of the middle half at each distance, and the noise of its samples. */
function pool(chunks: readonly Aligned[], grid: StripGrid, half: number): { profile: Float64Array; noise: number } | null {
  const columns: number[][] = Array.from({ length: 2 * half + 1 }, () => []);
  for (const { chunk, t } of chunks) {
    const start = (t + grid.reach) / grid.step - half;
    const k = Math.floor(start);
    const f = start - k;
    if (k < 0 || k + 2 * half + 1 >= grid.count) continue;
    // Levelled at both ends, so that the tones of the artwork do not add scatter.
    const left = chunk.profile[k];
    const right = chunk.profile[k + 2 * half];
    const ground = 0.5 * (left + right);
    if (!(ground > 0.005)) continue;
    for (let i = 0; i <= 2 * half; i++) {
      const v = chunk.profile[k + i] * (1 - f) + chunk.profile[k + i + 1] * f;
      if (!Number.isNaN(v)) columns[i].push((v - left + ((left - right) * i) / (2 * half)) / ground);
    }
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

/** Two directions' biases agree within this, mm, and twice their uncertainty. */
const ALIKE = 0.012;
/** Standard uncertainty where no direction has enough chunks to tell, mm (common practice, no source). */
const UNKNOWN = 0.03;

/**
 * Keeps a direction's bias only where the opposite direction bears it out: a lip to the light draws both edges of a piece the same way on the sheet (opposite along their
 * normals), a lip on the inside draws both alike. What stands alone is doubt, not bias. `lips`: by direction, evenly round the circle.
 */
export function borneOut(lips: readonly (LipBias | null)[]): LipBias[] {
  const known = lips.filter((l) => l !== null);
  const unknown = known.length > 0 ? Math.max(...known.map((l) => Math.hypot(l.shift, l.sigma))) : UNKNOWN;
  return lips.map((lip, k) => {
    if (!lip) return { shift: 0, sigma: unknown };
    const opposite = lips[(k + lips.length / 2) % lips.length];
    const agrees = opposite !== null && Math.abs(Math.abs(lip.shift) - Math.abs(opposite.shift)) < ALIKE + 2 * Math.hypot(lip.sigma, opposite.sigma);
    return agrees ? lip : { shift: 0, sigma: Math.hypot(lip.sigma, lip.shift) };
  });
}
