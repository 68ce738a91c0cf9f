import { isSlit, type CutLook } from "../../cuts/evidence/evidence.ts";
import type { TracedChunk, TracedPath } from "../../cuts/trace.ts";
import type { Job } from "../../job/schema.ts";
import { medianOf } from "../../statistics/median.ts";
import type { Chunk } from "../../cuts/strips/strip.ts";
import { drawnBy, EDGE_BIASES, type CutSighting, type EdgeBias } from "./equations.ts";

/** Thickness taken where the job states none, mm: E flute (common practice, no source). */
export const USUAL_THICKNESS = 1.6;

/**
 * Blur melts an edge with what lies at its foot: a shade that takes a tenth of the light there (cuts/profile/edgeProfile.ts) draws it by this share of the blur for ground as bright as the step is high; by more where the
 * piece is little darker than what it lies on. Ground is taken for no darker than HALF the step.
 */
const MELTED = 0.1;
const HALF = 0.5;
/** What the shade at its foot and the light on its rim leave to a step in a photo beside that, mm: 49 stripped pieces drawn by the project and by others lay off by 0.036 and 0.025 all round (root mean square). */
const FOOT = 0.03;

/** Of what lips leave to the places of slits this much is alike all round a piece, as a share (standard deviation; common practice, no source), and so much at least, mm. */
const ALL_ROUND = 0.7;
const LEAST = 0.001;
/**
 * A lip is as bright on dark print as on light, and so draws a slit the farther the darker its ground is: by how much where that is darker by a factor of e, mm (standard deviation; from pictures with known truth). What is left of it
 * once lips are taken out by the tone of their ground goes by how far they draw, as a share, and is so much at least, mm: while pieces on light and dark print are fitted as one, it passes in part for a turn.
 */
const TONED = 0.015;
const TONED_SHARE = 0.6;
const LEAST_TONED = 0.002;
/** A slit brighter than its ground is fitted with its lip as one line or hardly shows beside it: it is found off by up to half of both together, a few tenths of a millimetre wide, mm (standard deviation; common practice, no source). */
const BRIGHT = 0.08;

/**
 * How far the edges of a picture may be found off, alike all round each piece, as standard deviations in mm (common practice, no source).
 *
 * A slit: lip and shade beside it lie on its inner or outer side, and the more the blur melts them into one line the more they draw it; where the profiles have told how much, it goes by that. A step: the shade at its
 * foot, and on a scanner the board's own wall, seen under a few degrees; where a camera sees it, it is fitted (see cuts/walls/walled.ts).
 * A hole: what its edge is found off otherwise than the outline's, since its own walls keep the light off; as much again.
 *
 * @param beyond how bright what lies beyond the edges over a gap is, over the height of their steps (see `brightBeyond`).
 * @param lips what lips leave to the places of slits and how far they draw them, mm (see `lipsOf`); absent where that is not known yet.
 */
export function edgePriors(job: Job, flat: boolean, blur: number, beyond = HALF, lips?: { readonly leave: number; readonly draw: number }): Readonly<Record<EdgeBias, number>> {
  const thickness = job.sheet.thickness ?? USUAL_THICKNESS;
  const step = Math.hypot(flat ? 0.005 * thickness : FOOT, MELTED * Math.max(HALF, beyond) * blur);
  const toned = lips ? Math.max(LEAST_TONED, TONED_SHARE * lips.draw) : TONED;
  const usual = flat ? 0.01 : 0.015 + 0.06 * Math.min(blur, 0.5);
  return { line: lips ? Math.max(LEAST, ALL_ROUND * lips.leave) : usual, step, hole: step, toned, tonedX: toned, tonedY: toned, bright: BRIGHT, brightX: BRIGHT, brightY: BRIGHT };
}

/** How bright what lies beyond the edges over a gap is, over the height of their steps: median of all found; 0 where there are none. */
export function brightBeyond(paths: readonly TracedPath[]): number {
  const edges = paths.filter(({ kind, look, away }) => kind === "cut" && look === "step" && away !== 0);
  // A share is the step over the light on the inner side of the normal: the piece's own where the normal points away from it.
  const all = edges.flatMap(({ away, chunks }) => chunks.filter((c) => c.found && c.share !== 0).map((c) => Math.abs(1 / c.share + (away > 0 ? 1 : 0))));
  return all.length === 0 ? 0 : medianOf(all);
}

/** What lips leave to the places of slits and how far they draw them, root mean square over what was found of them, mm; undefined where none were looked at. */
export function lipsOf(paths: readonly TracedPath[]): { readonly leave: number; readonly draw: number } | undefined {
  const slits = paths.filter(isSlit).flatMap(({ chunks }) => chunks.filter((c) => c.found));
  const over = (of: (c: TracedChunk) => number): number => Math.sqrt(slits.reduce((s, c) => s + of(c) ** 2, 0) / Math.max(1, slits.length));
  const leave = over((c) => c.lip ?? 0);
  return leave > 0 ? { leave, draw: over((c) => c.bias) } : undefined;
}

/** What of a chunk tells how its ground has it drawn aside. */
type OnGround = Pick<TracedChunk, "tone" | "bright">;

/** The same of a sighting. */
export function onGround({ tone, bright }: OnGround): OnGround {
  return { ...(tone === undefined ? {} : { tone }), ...(bright ? { bright } : {}) };
}

/** What of a path may be found off alike all round: its look and the side it goes by. */
type Sided = { readonly look: CutLook; readonly away: -1 | 0 | 1 };

/** With which edges those of a path are found off alike; nothing for a crease, and where it is not known on which side the piece lies. */
export function edgeOf({ look, away }: Sided): Pick<CutSighting, "edge" | "away"> {
  return look === "crease" || away === 0 ? {} : { edge: look === "step" && away < 0 ? "hole" : look, away };
}

/** How far a chunk of a path was found off along its normal, mm, by what draws edges aside; of an unknown tone, by its look alone. */
export function biasOf(path: Sided, { nx, ny }: Pick<Chunk, "nx" | "ny">, edgeBias: Readonly<Record<EdgeBias, number>>, ground: OnGround = {}): number {
  const seen = { ...edgeOf(path), nx, ny, ...onGround(ground) };
  return EDGE_BIASES.reduce((sum, bias) => sum + drawnBy(bias, seen) * edgeBias[bias], 0);
}

/** Standard uncertainty of a step that goes by its direction, mm: what the wall's fit leaves in a photo, and its few degrees on a scanner. */
export function wallOf(job: Job, flat: boolean): number {
  return (flat ? 0.003 : 0.005) * (job.sheet.thickness ?? USUAL_THICKNESS);
}
