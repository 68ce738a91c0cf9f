import { medianOf } from "../../statistics/median.ts";
import { integral } from "../../image/normal.ts";
import { placeEdge } from "../profile/edgeProfile.ts";
import type { LipBias, Seen } from "../lips/lip.ts";
import { FEWEST, poolRows, pooledBlur, rowAbout, TELLS_NOTHING } from "../profile/pool.ts";
import type { StripGrid } from "../strips/strip.ts";

/** Reach of the pooled profile, mm beyond two blurs: past most of the shade. */
const REACH = 0.7;
/** Noise of a pooled profile is taken to be no less than this share of the step. */
const LEAST_NOISE = 0.006;
/** A step lower than this, linear light, is not divided by. */
const LOWEST = 0.005;
/**
 * The rim of a cut edge catches more light than the face or less: so wide, mm, and so much of what the bare board reflects (standard deviation, hard light among them; common practice, no source).
 * It moves the middle of a step by its area over the step's height: little where a white piece lies on black, much where a dark one does.
 */
const RIM = 0.15;
const RIM_LIGHT = 0.12;

/**
 * What stands about a piece is not alike on all its sides, and no profile shows all that it does to the edges: to those of a direction it leaves this share of the blur (standard deviation; 57 stripped pieces drawn by others, whose
 * sides lay off against each other by 0.030 mm, root mean square, where the profiles told 0.022).
 */
export const FOOT_LEAVES = 0.07;

/**
 * What the shade at its foot does to an edge over a gap, for the chunks of one direction: it draws a plain step outwards over light ground. As for lips, all are laid on each other about where all cuts
 * together expect them. `away`: +1 where the normal points away from the piece, -1 where into it. Null where the chunks are too few to tell.
 */
export function footBias(edges: readonly Seen[], away: 1 | -1, grid: StripGrid, blur: number): LipBias | null {
  if (edges.length < FEWEST) return null;
  const half = Math.floor((REACH + 2 * blur) / grid.step);
  const steps = edges.flatMap((edge) => stepOf(edge, away, grid, half) ?? []);
  const pooled = poolRows(steps.map(({ row }) => row));
  const outwards = away * medianOf(edges.map((e) => e.expected));
  const place = pooled && placeEdge(pooled.profile, grid.step, Math.max(LEAST_NOISE, pooled.noise), pooledBlur(edges, blur, grid.step), medianOf(steps.map((s) => s.beyond)), outwards);
  if (!place || !(place.sigma < TELLS_NOTHING)) return null;
  return { shift: away * place.shift - medianOf(steps.map((s) => s.off)), sigma: Math.hypot(place.sigma, medianOf(steps.map((s) => s.rim))) };
}

/**
 * The standard uncertainty, mm, that the shade at its foot and the light on its rim leave to a plain edge whose step is so high, as a share of the bare board's light, seen with a given blur, mm, in a profile of the given noise, as a
 * share of the step.
 */
export function footDoubt(height: number, blur: number, noise = LEAST_NOISE): number {
  const step = Math.max(0.05, blur / 2);
  const half = Math.floor((REACH + 2 * blur) / step);
  const profile = Float64Array.from({ length: 2 * half + 1 }, (_, i) => integral(((i - half) * step) / blur));
  const place = placeEdge(profile, step, Math.max(LEAST_NOISE, noise), blur, (1 - height) / height);
  return Math.hypot(place?.sigma ?? 0, (RIM * RIM_LIGHT) / height, FOOT_LEAVES * blur);
}

/** An edge's profile from the face (0) to what lies beyond (1). */
interface Step {
  readonly row: Float64Array;
  /** Light of what lies beyond over the step's height. */
  readonly beyond: number;
  /** What its rim may move it by, mm. */
  readonly rim: number;
  /** How far it was found from where it is expected, mm. */
  readonly off: number;
}

function stepOf({ chunk, t, expected }: Seen, away: 1 | -1, grid: StripGrid, half: number): Step | null {
  const row = rowAbout(chunk, expected, grid, half);
  if (!row) return null;
  if (away < 0) row.reverse();
  const face = 0.5 * (row[0] + row[1]);
  const ground = 0.5 * (row[row.length - 1] + row[row.length - 2]);
  const height = ground - face;
  if (!(Math.abs(height) > LOWEST)) return null;
  const { bare = 1, light = 1 } = chunk;
  return { row: row.map((v) => (v - face) / height), beyond: Math.abs(ground / height), rim: (RIM * RIM_LIGHT * bare * light) / Math.abs(height), off: t - expected };
}
