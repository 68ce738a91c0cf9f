import { FEWEST, poolProfiles, pooledBlur, TELLS_NOTHING, type Aligned } from "./pool.ts";
import { LEAST_NOISE, placeSlit, profileHalf } from "./slitProfile.ts";
import type { StripGrid } from "./strip.ts";

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

/** Ground darker than this, linear light, is not divided by. */
const DARKEST = 0.005;

/** The bias of the symmetric fit for the chunks of one direction; null where they are too few to tell. `blur`: of the picture, mm along the normal. */
export function lipBias(chunks: readonly Aligned[], grid: StripGrid, blur: number): LipBias | null {
  if (chunks.length < FEWEST) return null;
  const half = profileHalf(blur, grid.step);
  const pooled = poolProfiles(chunks, grid, half, levelled);
  const place = pooled && placeSlit(pooled.profile, grid.step, Math.max(LEAST_NOISE, pooled.noise), pooledBlur(chunks, blur));
  return place && place.sigma < TELLS_NOTHING ? place : null;
}

/** As a share of the ground's light, and levelled at both ends, so that the tones of the artwork do not add scatter. */
function levelled(row: Float64Array): boolean {
  const left = row[0];
  const slope = (row[row.length - 1] - left) / (row.length - 1);
  const ground = 0.5 * (left + row[row.length - 1]);
  if (!(ground > DARKEST)) return false;
  for (let i = 0; i < row.length; i++) row[i] = (row[i] - left - slope * i) / ground;
  return true;
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
