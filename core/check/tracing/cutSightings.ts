import { predictedOffset, type CoarseShift } from "../../cuts/register.ts";
import { DIRECTIONS, directionOf } from "../../cuts/directions.ts";
import type { TracedChunk, TracedPath } from "../../cuts/trace.ts";
import { wallDoubt } from "../../cuts/walls/walled.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { besideSlits } from "../fit/besideSlits.ts";
import { edgeOf, onGround } from "../fit/edgePriors.ts";
import type { CutSighting } from "../fit/equations.ts";
import type { LensMap } from "../view/viewModel.ts";

/**
 * A cut that is shifted along a bend lies off by another distance at each place of a chunk, and so is smeared in the chunk's mean: by the chunk's turn times its slide along the path. Of that its place is known to this
 * share (standard deviation, from the scatter of chunks drawn by others: the same 0.05 to 0.08 at slides of 0.2 and 0.5 mm, turns of 0.7 and 1.2).
 */
const SMEARED = 0.08;
/** Reading a cut's profile between pixels, px. */
export const BETWEEN_PIXELS = 0.02;
/** A blade wanders, and board is ragged where it is cut: a chunk lies off by so much by itself, mm (standard deviation; common practice, no source), however sharp its picture. */
const RAGGED = 0.004;

/** Under what the chunks were found. */
interface SeenUnder {
  readonly shift: CoarseShift;
  /** The view that the strips were sampled under. */
  readonly map: PlaneMap;
  readonly lens: LensMap | null;
  readonly pxPerMm: number;
  /** What the board's wall leaves to an edge's place, mm (standard uncertainty). */
  readonly wall: number;
}

/** Whether a chunk tells where all cuts lie: it was found, its piece has not moved, nor has the knife left its path there. */
export function tellsOfAll({ found, left }: Pick<TracedChunk, "found" | "left">, { moved }: Pick<TracedPath, "moved">): boolean {
  return found && !moved && !left;
}

/**
 * The chunks found as the joint fit takes them, and the path each is of: every `every`-th of a path. Where the knife has left its path it tells nothing of where all cuts lie, and a richer model of lens or board would bend itself to it;
 * on the way there that is not yet known, for a lens bends the cuts as well. `shown`: their share of all that were asked.
 */
export function cutSightings(paths: readonly TracedPath[], every: number, { shift, map, lens, pxPerMm, wall }: SeenUnder): { cuts: CutSighting[]; paths: number[]; shown: number } {
  const cuts: CutSighting[] = [];
  const of: number[] = [];
  let asked = 0;
  paths.forEach((path, k) => {
    if (path.kind !== "cut" || path.moved) return;
    const walls = Array<number>(DIRECTIONS).fill(0);
    for (const { chunk } of path.chunks) if (chunk.wall) walls[directionOf(chunk)]++;
    // What is alike along a side is not averaged out by its many chunks.
    const ofWall = ({ chunk }: TracedChunk): number => (chunk.wall ? wallDoubt(chunk.wall, path.width) * Math.sqrt(walls[directionOf(chunk)] / every) : 0);
    for (const [n, c] of path.chunks.entries()) {
      if (n % every !== 0) continue;
      asked++;
      if (every === 1 ? !tellsOfAll(c, path) : !c.found) continue;
      const norm = Math.hypot(c.chunk.nx, c.chunk.ny) || 1;
      const real = map.toPicture({ x: c.chunk.x + (c.t * c.chunk.nx) / norm, y: c.chunk.y + (c.t * c.chunk.ny) / norm });
      const seen = real && (lens ? lens.undistort(real) : real);
      if (!seen) continue;
      const { x, y, nx, ny, tx, ty, curvature, length } = c.chunk;
      const smeared = SMEARED * curvature * length * predictedOffset(shift, { x, y, nx: tx, ny: ty });
      cuts.push({ print: { x, y }, nx, ny, tx, ty, curvature, seen, sigma: Math.hypot(c.sigma, BETWEEN_PIXELS / pxPerMm, RAGGED, path.look === "step" ? wall : 0, smeared, ofWall(c)), lip: c.lip ?? 0, ...edgeOf(path), ...onGround(c) });
      of.push(k);
    }
  });
  return { cuts: besideSlits(cuts), paths: of, shown: cuts.length / Math.max(1, asked) };
}
