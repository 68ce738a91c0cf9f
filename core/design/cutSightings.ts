import { BETWEEN_PIXELS } from "../check/tracing/cutSightings.ts";
import { edgeOf, USUAL_THICKNESS, wallOf } from "../check/fit/edgePriors.ts";
import type { CutSighting } from "../check/fit/equations.ts";
import { MOST_BY_SIDE } from "../check/fit/alike.ts";
import { besideSlits } from "../check/fit/besideSlits.ts";
import { fitAt } from "../cuts/locate.ts";
import { awayOf } from "../cuts/strips/sides.ts";
import { boxOf } from "../geometry/polygon.ts";
import { footDoubt } from "../cuts/walls/foot.ts";
import { lipsTogether } from "../cuts/lips/lipsTogether.ts";
import { FEWEST } from "../cuts/profile/pool.ts";
import { slitDoubt } from "../cuts/profile/slitProfile.ts";
import { CORNER_CLEARANCE, MIDDLE_HALF_EFFICIENCY, piecesOf, stripGrid } from "../cuts/strips/strip.ts";
import { chunkLength, UNEVEN } from "../cuts/strips/strips.ts";
import { directionOf, DIRECTIONS } from "../cuts/directions.ts";
import { wallSeen, type Askew } from "../cuts/trace.ts";
import { wallDoubt } from "../cuts/walls/walled.ts";
import type { PrintPoint } from "../geometry/frames.ts";
import { integral } from "../image/normal.ts";
import type { Cut, Job } from "../job/schema.ts";
import { walk, type Station } from "../job/walk.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { backSeenFrom, type Eye } from "../witness/eye.ts";
import type { Light } from "./setup.ts";
import { flatCut } from "./subpaths.ts";

/** More chunks than this do not sharpen a prediction. */
const MOST_CHUNKS = 1500;
/** Stations that a chunk is walked by. */
const PER_CHUNK = 8;
/** Width of a slit, mm, and how much darker than the board it is, linear light (common practice, no source). */
const SLIT = 0.3;
const DEPTH = 0.5;
/** Softness of a cut edge itself, sigma, mm (common practice, no source). */
const STEP = 0.06;
/** A blade's path wanders, and board's edge is uneven, by about this over a chunk, mm (from memory; no source). */
export const CHUNK_WANDER = 0.008;
/** Of what makes the ground unlike on a line's two sides, this share runs along a whole side with it: a shade, the edge of an ink (common practice, no source). */
const ALONG_SIDE = 1 / 3;

export interface ExpectedCuts {
  readonly cuts: CutSighting[];
  /** Standard uncertainty that the board's wall leaves to all edges over a gap together, by their share of the cuts, mm. */
  readonly wall: number;
}

/** A cut's piece as the check will look at it. */
interface Piece {
  readonly stations: readonly Station[];
  /** Length of it that lies clear of corners, mm. */
  readonly length: number;
  readonly step: boolean;
  readonly edge: Pick<CutSighting, "edge" | "away">;
  /** How far the board's wall is seen beside an edge over a gap, mm. */
  readonly wall: number;
  /** The direction in which its normal points (see directions.ts). */
  readonly faces: number;
  /** How many pieces of the path face the same way: of an edge over a gap those that show their wall. */
  readonly alike: number;
}

/** The cuts' chunks as they will be seen, in the pieces in which the check looks at them; those outside the picture left out. */
export function expectedCuts(job: Job, map: PlaneMap, light: Light, pxPerMm: number, eye: Eye | null): ExpectedCuts {
  const pieces = piecesIn(job, eye && backSeenFrom(eye, job.sheet.thickness ?? USUAL_THICKNESS)).filter((p) => p.length > 0);
  const blur = light.blur / pxPerMm;
  const lips = lipsLeft(pieces.filter((p) => !p.step), (noise) => slitDoubt(SLIT, DEPTH, blur, noise * DEPTH));
  const feet = lipsLeft(pieces.filter((p) => p.step), (noise) => footDoubt(DEPTH, blur, noise));
  const wall = wallOf(job, eye === null);
  const width = Math.hypot(blur, STEP);
  const uneven = unevenMove(blur, pxPerMm);
  // Of very many chunks every n-th speaks for its neighbours.
  const share = Math.max(1, Math.round(pieces.length / MOST_CHUNKS));
  const cuts = pieces.filter((_, k) => k % share === 0).flatMap(({ stations, length, step, edge, wall: seen, faces, alike }) => {
    const rest = step ? Math.hypot(wall, wallDoubt(seen, width) * Math.sqrt(alike)) : Math.hypot(uneven, Math.sqrt(Math.min(alike, MOST_BY_SIDE)) * ALONG_SIDE * uneven);
    const sigma = Math.hypot(noiseOf(step, length, light, pxPerMm), BETWEEN_PIXELS / pxPerMm, CHUNK_WANDER, rest) / Math.sqrt(share);
    const sighting = sightingOf(stations, map, sigma);
    return sighting ? [{ ...sighting, lip: (step ? feet : lips)[faces], ...edge }] : [];
  });
  const all = pieces.reduce((sum, p) => sum + p.length, 0);
  const steps = pieces.reduce((sum, p) => sum + (p.step ? p.length : 0), 0);
  return { cuts: besideSlits(cuts), wall: all > 0 ? wall * Math.sqrt(steps / all) : 0 };
}

function piecesIn(job: Job, askew: Askew): Piece[] {
  const paths = job.cuts.filter((c) => c.kind === "cut").flatMap((cut) => flatCut(cut).subpaths.map((subpath) => ({ cut, kind: cut.kind, subpath, closed: subpath.closed, box: boxOf(subpath.points) })));
  return paths.flatMap((path) => {
    const { cut, subpath } = path;
    const step = isStep(job, cut, subpath.closed);
    const away = awayOf(path, paths, step && job.state === "in-sheet");
    const edge = edgeOf({ look: step ? "step" : "line", away });
    const chunk = chunkLength(subpath.length);
    const all = walk(subpath, chunk / PER_CHUNK);
    const spacing = subpath.length / all.length;
    const pieces = piecesOf(all, chunk).map(({ from, to }) => {
      const stations = all.slice(from, to);
      const middle = stations[stations.length >> 1];
      return { stations, length: spacing * stations.filter((s) => s.corner >= CORNER_CLEARANCE).length, step, edge, wall: step ? wallSeen(middle, askew, away) : 0, faces: directionOf(middle) };
    });
    const facing = new Array<number>(DIRECTIONS).fill(0);
    for (const { wall, faces } of pieces) if (!step || wall !== 0) facing[faces]++;
    return pieces.map((piece): Piece => ({ ...piece, alike: facing[piece.faces] }));
  });
}

/** An edge against the background: a lost slug, a stripped outline; else the cut is a line. */
function isStep(job: Job, cut: Cut, closed: boolean): boolean {
  return "circle" in cut || (job.state === "stripped" && closed);
}

/**
 * What lips leave to the lines of each direction, and the shades at their feet to the edges, mm: the doubt of its pooled profile, joined over the directions as the check joins them. It is alike for all of a
 * direction and so no scatter of its sides (see check/fit/alike.ts): the budget has it. Ground that is uneven from chunk to chunk is that profile's noise, and less the more chunks are pooled; of a step
 * between the two sides, profiles that are levelled at their ends keep 1/sqrt(12) (root mean square of a sawtooth).
 *
 * @param doubt of a profile with this noise, as a share of its depth.
 */
function lipsLeft(pieces: readonly Piece[], doubt: (noise: number) => number): number[] {
  const counts = new Array<number>(DIRECTIONS).fill(0);
  for (const { faces } of pieces) counts[faces]++;
  const noise = UNEVEN / Math.sqrt(12 * MIDDLE_HALF_EFFICIENCY);
  return lipsTogether(counts.map((n) => (n < FEWEST ? null : { shift: 0, sigma: doubt(noise / Math.sqrt(n)) }))).map(({ sigma }) => sigma);
}

/** How far a ground that is unlike on the line's two sides draws it, mm: what the check's own fit makes of such a profile. `blur`: mm. */
function unevenMove(blur: number, pxPerMm: number): number {
  const width = Math.hypot(blur, SLIT / Math.sqrt(12));
  const grid = stripGrid(6 * width, pxPerMm);
  const profile = Float32Array.from({ length: grid.count }, (_, i) => {
    const t = i * grid.step - grid.reach;
    return UNEVEN * (integral(t / blur) - 0.5) - Math.exp(-0.5 * (t / width) ** 2);
  });
  return Math.abs(fitAt({ profile }, grid, "line", 0, width)?.move ?? 0);
}

/**
 * What the pixels' noise leaves of a chunk across, mm. White noise of n on a profile of width w along L px leaves a Gaussian line of amplitude A known to
 * n^2 2 w/(A^2 sqrt(pi) L), a blurred step of height A to n^2 2 sqrt(pi) w/(A^2 L), px^2 (Cramer-Rao).
 */
function noiseOf(step: boolean, length: number, light: Light, pxPerMm: number): number {
  const along = MIDDLE_HALF_EFFICIENCY * length * pxPerMm;
  const slit = SLIT * pxPerMm;
  const w = step ? light.blur : Math.hypot(light.blur, slit / Math.sqrt(12));
  const amplitude = step ? DEPTH : Math.min(DEPTH, (DEPTH * slit) / (Math.sqrt(2 * Math.PI) * w));
  const shape = step ? 2 * Math.sqrt(Math.PI) * w : (2 * w) / Math.sqrt(Math.PI);
  return ((light.noise / amplitude) * Math.sqrt(shape / along)) / pxPerMm;
}

function sightingOf(stations: readonly Station[], map: PlaneMap, sigma: number): CutSighting | null {
  const { x, y, tx, ty } = stations[stations.length >> 1];
  const print: PrintPoint = { x, y };
  const seen = map.toPicture(print);
  const mean = (pick: (s: Station) => number) => stations.reduce((sum, s) => sum + pick(s), 0) / stations.length;
  return seen && { print, nx: mean((s) => s.nx), ny: mean((s) => s.ny), tx, ty, curvature: 0, seen, sigma };
}
