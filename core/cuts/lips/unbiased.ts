import { byDirection, DIRECTIONS, directionOf, shareFound } from "../directions.ts";
import { FOOT_LEAVES, footBias } from "../walls/foot.ts";
import { isSlit } from "../evidence/evidence.ts";
import { brightLipBias } from "./brightLips.ts";
import { COLOURS_APART, groundAbout, lipBias, shiftFor, type LipBias, type Seen } from "./lip.ts";
import { beyondDarkest } from "../creases/flanks.ts";
import { lipsTogether } from "./lipsTogether.ts";
import { withoutDeparted, type SeenOf } from "./departed.ts";
import { profileHalf } from "../profile/slitProfile.ts";
import { medianOf } from "../../statistics/median.ts";
import { meanBetween } from "../profile/profileFit.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";
import { isMelted, meltedShift } from "../walls/walled.ts";
import { HUE_LEAVES } from "../shadows/hueEdges.ts";
import { narrowShade } from "../shadows/narrowShade.ts";
import { IN_SHADOW } from "../shadows/shadowEnds.ts";

/**
 * Takes out of every chunk what a symmetric profile does not know, by direction (sixteenths of a turn on the sheet, whose sides mostly lie in the middle of one; the light is one for
 * all). A crease looks darkest on the flank that turns from the light. A lip draws a line to its shade, the more the darker the ground is; the shade at its foot an edge outwards. Blur draws a bent edge or line to the inside of its bend, by
 * sigma^2/(2 R) for a radius R large against sigma.
 *
 * @param expected where all cuts together expect each path's chunks, mm; null where the view does not show it.
 */
export function unbiased(paths: readonly TracedPath[], grid: StripGrid, blur: number, expected: readonly (readonly (number | null)[])[]): TracedPath[] {
  const half = profileHalf(blur, grid.step);
  const bare = bareLight(paths, grid, half);
  const sides = (asked: (path: TracedPath) => boolean): Seen[][] => {
    const seen = chunksOf(paths, asked, ({ chunk, t }, path, k): SeenOf => ({ chunk, t, expected: expected[path][k] ?? t, path }));
    return byDirection(seen).map(withoutDeparted);
  };
  const lips = lipsTogether(sides(showsItsDark).map((slits) => lipBias(slits, grid, blur, bare)));
  const rims = lipsTogether(sides(showsItsRims).map((slits) => brightLipBias(slits, grid, blur)));
  const feet = ([1, -1] as const).map((away) => lipsTogether(sides((path) => path.look === "step" && path.away === away).map((edges) => footBias(edges, away, grid, blur))));
  const creases = byDirection(paths.flatMap(({ look, width, chunks }) => (look === "crease" ? chunks.flatMap((c) => (c.found ? [{ chunk: c.chunk, t: c.t, width }] : [])) : []))).map((side) => beyondDarkest(side, grid));
  const bend = (c: Chunk): number => 0.5 * blur * blur * Math.max(-MOST_BEND / blur, Math.min(MOST_BEND / blur, c.curvature));
  return paths.map((path) => {
    const drawn = showsItsDark(path) ? lips : showsItsRims(path) ? rims : path.look === "step" && path.away !== 0 ? feet[path.away > 0 ? 0 : 1] : null;
    const of = (c: Chunk): LipBias => (drawn && !hasWall(c, path) ? drawn[directionOf(c)] : { shift: 0, sigma: 0 });
    const along = alongEdges(path);
    const found = isOutline(path) ? shareFound(path.chunks) : null;
    const overLight = isOverLight(path) ? IN_SHADOW : 0;
    const doubt = (c: Chunk): number => Math.hypot(overLight, path.shadowed?.get(directionOf(c)) ?? 0, found && found[directionOf(c)] < 0.5 ? HALF_SEEN : 0, c.hued ? (path.look === "step" ? HUE_LEAVES : COLOURS_APART) / c.scale : 0);
    const shades = isOutline(path) ? byDirection(path.chunks.filter((c) => c.found && !c.chunk.hued && !path.shadowed?.has(directionOf(c.chunk)))).map((edges) => narrowShade(edges, path.away, grid)) : [];
    // What may be so on each of a piece's sides is in doubt of all, and weighs none of them less.
    const foot = path.look === "step" ? Math.hypot(FOOT_LEAVES * blur, isBlackOnLight(path, grid) ? IN_SHADOW : 0) : 0;
    return {
      ...path,
      chunks: path.chunks.map((c) => {
        const drawnBy = of(c.chunk);
        const shift = shiftFor(drawnBy, (bare * (c.chunk.light ?? 1)) / groundAbout(c.chunk, c.t, grid, half));
        const shade = shades[directionOf(c.chunk)];
        const bias = bend(c.chunk) + shift + (path.look === "crease" ? creases[directionOf(c.chunk)] : 0) - path.away * (shade?.shift ?? 0) - (hasWall(c.chunk, path) ? 0 : meltedShift(c.chunk.wall ?? 0));
        const doubtful = doubt(c.chunk);
        return {
          ...c, t: c.t + bias, bias, sigma: Math.hypot(c.sigma, LIP_VARIES * shift, c.beside ?? 0, doubtful), lip: Math.hypot(drawnBy.sigma, along[directionOf(c.chunk)], doubtful, foot, shade?.sigma ?? 0),
        };
      }),
    };
  });
}

/** Whether a path shows the dark of its slit. On black board a slit may be seen by its bared edges only, as a bright line: there is no dark beside which a lip could be told. */
function showsItsDark({ look, chunks }: TracedPath): boolean {
  return look === "line" && mostSign(chunks) <= 0;
}

/** Whether a slit is seen by its bared rims only. */
function showsItsRims(path: TracedPath): boolean {
  return isSlit(path) && mostSign(path.chunks) > 0;
}

/** The sign that the shares of most of the chunks found have. */
function mostSign(chunks: readonly TracedChunk[]): number {
  return Math.sign(chunks.reduce((sum, c) => sum + (c.found ? Math.sign(c.share) : 0), 0));
}

/** Whether a wall beside an edge is fitted with it. */
function hasWall({ wall = 0 }: Chunk, { width }: TracedPath): boolean {
  return !isMelted(wall, width);
}

/** What the print's edges beside a path's chunks may do to all of a direction together, mm: edges of artwork that lies about draw to this side and to that, one that runs along the cut always to the same. */
function alongEdges({ chunks }: TracedPath): Float64Array {
  const sums = new Float64Array(DIRECTIONS);
  const found = new Float64Array(DIRECTIONS);
  for (const c of chunks) {
    if (!c.found) continue;
    sums[directionOf(c.chunk)] += c.beside ?? 0;
    found[directionOf(c.chunk)]++;
  }
  return sums.map((sum, i) => (found[i] > 0 ? Math.abs(sum) / found[i] : 0));
}

/** Of a side of a stripped piece of which less than half is seen, what is may be its shadow's end: so much, mm, is in doubt then (common practice, no source). */
const HALF_SEEN = 0.4;

/**
 * Whether a path's edges look on something lighter than its board: a hole in dark board over a light table. Its wall and the shadow in it are dark bands between the two then, whose ends show more plainly
 * than the face's own edge; over a dark table they are as dark as that.
 */
function isOverLight({ look, away, chunks }: TracedPath): boolean {
  return look === "step" && away < 0 && mostSign(chunks) < 0;
}

/** What lies beyond a face so many times as light as that has shadows on it that are as light as the face (common practice, no source). */
const BLACK = 5;
/** Where face and what lies beyond are looked at, mm inside of the edge and outside of it: clear of both's blur (common practice, no source). */
const FACE = [0.6, 1.2] as const;

/** Whether a piece's face is as dark as the shadow beside it may be: where shadows show as bands they are told (see shadowBands.ts), there they pass for the face. In a mix of planes that is turned over both are less than nothing, and what hues show is no light. */
function isBlackOnLight({ look, away, width, chunks }: TracedPath, grid: StripGrid): boolean {
  if (look !== "step" || away <= 0) return false;
  const times = chunks.filter((c) => c.found && !c.chunk.hued).map(({ chunk, t }) => {
    const [face, beyond] = [-1, 1].map((side) => meanBetween(chunk, grid, t + side * (2 * width + FACE[0]), t + side * (2 * width + FACE[1])));
    return beyond / face;
  }).filter((v) => v > 0);
  return times.length > 0 && medianOf(times) > BLACK;
}

/** Whether a path is the outline of a piece over a gap. */
function isOutline({ look, unexpected, closed, away }: TracedPath): boolean {
  return look === "step" && !unexpected && closed && away > 0;
}

/** A lip is not alike all along a side: of what it draws a chunk aside so much may be otherwise, as a share (standard deviation; common practice, no source). */
const LIP_VARIES = 0.3;

/** Light of the bare board in the sheet's middle, as the lightest grounds beside the slits show it, linear light. */
function bareLight(paths: readonly TracedPath[], grid: StripGrid, half: number): number {
  const grounds = paths.flatMap((path) => (path.look === "line" ? path.chunks.filter((c) => c.found).map((c) => groundAbout(c.chunk, c.t, grid, half) / (c.chunk.light ?? 1)) : [])).filter((v) => v > 0).sort((a, b) => a - b);
  return grounds[Math.floor(0.95 * grounds.length)] ?? 1;
}

/** The chunks found of the paths that are asked for, as `pick` takes them; those with a wall or the print's edge beside them have it fitted instead, and where the knife has left its path what lies off is no lip's doing. */
function chunksOf<T>(paths: readonly TracedPath[], asked: (path: TracedPath) => boolean, pick: (c: TracedChunk, path: number, k: number) => T): T[] {
  return paths.flatMap((path, i) => (asked(path) ? path.chunks.flatMap((c, k) => (c.found && !c.left && !hasWall(c.chunk, path) && c.beside === undefined ? [pick(c, i, k)] : [])) : []));
}

/** Blur over radius beyond which the first-order correction for a bend is not trusted to grow. */
const MOST_BEND = 0.5;
