import { medianOf } from "../statistics/median.ts";
import { placeEdge } from "./edgeProfile.ts";
import type { LipBias } from "./lip.ts";
import { FEWEST, poolProfiles, pooledBlur, TELLS_NOTHING, type Aligned } from "./pool.ts";
import type { Chunk, StripGrid } from "./strip.ts";

/** Reach of the pooled profile, mm beyond two blurs: past most of the shade. */
const REACH = 0.7;
/** Noise of a pooled profile is taken to be no less than this share of the step. */
const LEAST_NOISE = 0.006;
/** A step lower than this, linear light, is not divided by. */
const LOWEST = 0.005;
/**
 * The rim of a cut edge catches more light than the face or less: so wide, mm, and so much of what the bare board reflects (standard deviation; common practice, no source, as for slits: see slitProfile.ts).
 * It moves the middle of a step by its area over the step's height: little where a white piece lies on black, much where a dark one does.
 */
const RIM = 0.15;
const RIM_LIGHT = 0.06;
/** Standard uncertainty where the chunks are too few to tell, mm (common practice, no source). */
const UNKNOWN = 0.01;

/**
 * What the shade at its foot does to an edge over a gap, for the chunks of one direction: it draws a plain step outwards over light ground. As for lips, all are laid on each other.
 * `away`: +1 where the normal points away from the piece, -1 where into it.
 */
export function footBias(chunks: readonly Aligned[], away: 1 | -1, grid: StripGrid, blur: number): LipBias {
  const unknown = { shift: 0, sigma: UNKNOWN };
  if (chunks.length < FEWEST) return unknown;
  const beyond: number[] = [];
  const rims: number[] = [];
  const outwards = (row: Float64Array, { bare = 1, light = 1 }: Chunk): boolean => {
    if (away < 0) row.reverse();
    const face = 0.5 * (row[0] + row[1]);
    const ground = 0.5 * (row[row.length - 1] + row[row.length - 2]);
    const height = ground - face;
    if (!(Math.abs(height) > LOWEST)) return false;
    beyond.push(Math.abs(ground / height));
    rims.push((RIM * RIM_LIGHT * bare * light) / Math.abs(height));
    for (let i = 0; i < row.length; i++) row[i] = (row[i] - face) / height;
    return true;
  };
  const pooled = poolProfiles(chunks, grid, Math.floor((REACH + 2 * blur) / grid.step), outwards);
  const place = pooled && placeEdge(pooled.profile, grid.step, Math.max(LEAST_NOISE, pooled.noise), pooledBlur(chunks, blur, grid.step), medianOf(beyond), away * medianOf(chunks.map((c) => c.t)));
  return place && place.sigma < TELLS_NOTHING ? { shift: away * place.shift, sigma: Math.hypot(place.sigma, medianOf(rims)) } : unknown;
}
