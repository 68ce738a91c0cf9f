import type { Chunk, StripGrid } from "./strips/strip.ts";
import { directionOf, shareFound } from "./directions.ts";
import { clearOfEdge, type Slit } from "./profile/besideEdge.ts";
import { halfOf, shareOfHalf } from "./profile/slitHalf.ts";
import { nearestOf } from "./departures/darknessAbout.ts";
import { departuresOf, isFar } from "./departures/departures.ts";
import { CLEAR, fitAt, isUsual, LEAST_GROUND, lightShared, locate, shareOf } from "./locate.ts";
import { withoutLitWalls } from "./walls/litWalls.ts";
import { lipsAlone } from "./lips/lipsAlone.ts";
import { cutShare } from "./evidence/cutShare.ts";
import { withWallEnds } from "./walls/wallEnds.ts";
import { movedPieces } from "./departures/movedPieces.ts";
import { isMissing } from "./departures/missing.ts";
import { isShortSlit, liesElsewhere } from "./departures/shortSlits.ts";
import { medianOf } from "../statistics/median.ts";
import { toned } from "./lips/tones.ts";
import type { Trace, TracedChunk, TracedPath } from "./trace.ts";
import { unbiased } from "./lips/unbiased.ts";

/** Where the map that all cuts agree on expects a chunk's cut, mm along its normal in the strip's view; null where it does not see it. */
export type Expectation = (chunk: Chunk, path: Pick<TracedPath, "look" | "away">) => number | null;

/** So many chunks tell a path's usual darkness as well as all of them. */
const ENOUGH = 60;
/** A line that takes or gives less than this share of the ground's light is not told from texture. */
const FAINTEST = 0.01;
/** Least amplitude, as a share of the path's usual one and over its own uncertainty, for a cut to be seen at all. */
const LEAST_SHARE = 0.35;
const LEAST_SIGNIFICANCE = 2.5;

/**
 * Locates the cuts again, from where the common map expects them. A faint line searched for alone is found where noise or texture happen to be darkest;
 * asked in the expected place, with the amplitude that its path has elsewhere, its profile tells a displacement that is linear in the light and so not
 * biased by the search (one Gauss-Newton step of the maximum likelihood estimate). `expected` must be right to within the profile's width.
 * One chunk in `every` is asked; the others stay as they were. Edges of the print beside a slit, lips and bends are looked into only where all are asked, which must be the last time: what they draw
 * a line aside is within the width that a fit on the way needs.
 *
 * @param trace whose places hold no biases yet.
 */
export function relocate({ paths: found, grid, blur, shift }: Trace, expected: Expectation, every = 1): Trace {
  const common = found.map((path) => path.chunks.map((c) => (c.chunk.stations > 0 ? expected(c.chunk, path) : null)));
  const moved = movedPieces(found, common, grid);
  const paths = withWallEnds(found, common, grid);
  const places = common.map((places, i) => places.map((at, k) => (at === null ? null : at + (moved[i]?.at(paths[i].chunks[k].chunk) ?? 0))));
  const darkness = paths.map((path, i) => (path.look === "line" ? usualDarkness(path, places[i], grid) : null));
  const lips = lipsAlone(paths, darkness, places);
  const told = darkness.filter((d) => d !== null);
  const usual = told.length > 0 ? medianOf(told) : null;
  const near = cutShare(paths, (path) => !path.unexpected) > TELLING ? BESIDE_SLITS : Infinity;
  const asking = { grid, blur, every, near, usual, ask: every === 1 ? besideEdges(paths, grid, blur) : ask };
  const again = paths.map((path, i) => {
    const aside = usual !== null && isShortSlit(path) && liesElsewhere(path, places[i], grid, usual);
    return lips[i] && !aside ? unseen(path) : relocatePath({ ...path, moved: moved[i] !== null }, places[i], darkness[i], { ...asking, aside });
  });
  const seen = toned(withoutLitWalls(again, grid), grid, blur);
  return { paths: every === 1 ? unbiased(seen, grid, blur, places) : seen, grid, blur, shift };
}

/** Share of the cuts' length that is seen as slits, and as edges where the job has them, from which they tell where all cuts are; an edge seen where the job has a slit is one then only so near to where they say, mm, else the artwork's (common practice, no source). */
const TELLING = 0.25;
const BESIDE_SLITS = 0.1;

/** Share of the slits' width at which one beside a printed line is asked again. */
const NARROWER = 0.8;

/** How the chunks of a path are asked again. */
interface Asking {
  readonly grid: StripGrid;
  readonly blur: number;
  readonly every: number;
  /** How near an unexpected edge must lie to where it is expected, mm; within its profile's width in any case. */
  readonly near: number;
  /** Darkness of the sheet's slits, a share of the ground's light; null where none is known. */
  readonly usual: number | null;
  readonly ask: typeof ask;
}

/** Of the cut itself nothing is found. */
function unseen(path: TracedPath): TracedPath {
  return { ...path, lipAlone: true, chunks: path.chunks.map((c) => ({ ...c, found: false })) };
}

function relocatePath(path: TracedPath, places: readonly (number | null)[], darkness: number | null, { grid, blur, every, near, usual, aside, ask: askIn }: Asking & { readonly aside: boolean }): TracedPath {
  const departures = departuresOf(path, places, grid, blur, darkness);
  return withoutGlimpses({
    ...path,
    chunks: path.chunks.map((c, k): TracedChunk => {
      const at = places[k];
      if (at === null || k % every !== 0) return c;
      const left = aside ? c.found : departures.told[k] === "left";
      const far = isFar(c, at, path);
      const asDark = departures.usual ? nearestOf(departures.usual[k], c.share) : darkness;
      const askedIn = (width: number): Slit | null => askIn(c.chunk, grid, { ...path, width }, at, asDark);
      // A line of the print that was found instead reaches less far into a narrower profile.
      const seen = left && far ? null : (askedIn(path.width) ?? (far && path.look === "line" ? askedIn(NARROWER * path.width) : null));
      const asked = seen && (path.tone ?? 0) * seen.share < 0 ? null : seen;
      // Drawn aside again, it tells nothing of the cut.
      const most = path.unexpected ? Math.min(near, departures.away) : departures.told[k] === "artwork" ? departures.away : Infinity;
      const drawn = asked !== null && Math.abs(asked.t - at) > most;
      const astray = departures.astray[k] === true;
      if (asked && !drawn) return { ...c, ...asked, found: true, left: left || path.moved === true, astray };
      // A dash that lies elsewhere shows in its place no more than how dark the print is there.
      const missed = isShortSlit(path) ? usual : asDark;
      return { ...c, found: left, left, astray, missing: !left && every === 1 && missed !== null && isMissing(c.chunk, grid, at, missed, path.width) };
    }),
  });
}

/** An edge over a gap is seen all along its side, or its shadow hides it: of a side of so many chunks less than this share is something else (common practice, no source). */
const SIDE = 8;
const GLIMPSED = 0.15;

/** An edge without the sides that are hardly seen. */
function withoutGlimpses(path: TracedPath): TracedPath {
  if (path.look !== "step" || path.unexpected) return path;
  const shares = shareFound(path.chunks, SIDE);
  return { ...path, chunks: path.chunks.map((c) => (c.found && shares[directionOf(c.chunk)] < GLIMPSED ? { ...c, found: false } : c)) };
}

/** Asks as `ask` does where the print's edge may run beside the slits of these paths. */
function besideEdges(paths: readonly TracedPath[], grid: StripGrid, blur: number): typeof ask {
  const share = shareOfHalf(paths, grid, blur);
  return (chunk, _, path, start, darkness) => {
    const found = ask(chunk, grid, path, start, darkness);
    const { width } = path;
    return found && path.look === "line" ? clearOfEdge(chunk, grid, found, { width, half: share * halfOf(width, blur), blur }) : found;
  };
}

/** Beside its place by about the profile's width a line hardly shows in it: one so significant there, and as dark as its path is, is located all the same. */
const PLAINLY_ASIDE = 16;

/** So many times as dark as its path is what is printed and not cut; farther aside than this, in the profile's widths, it is taken for that. */
const DARKEST = 2.5;
const ASIDE = 0.5;

/** What a chunk shows where its cut is expected: in its own place where it is clear, else by how far the profile there says that it lies off. */
function ask(chunk: Chunk, grid: StripGrid, path: TracedPath, start: number, darkness: number | null): Slit | null {
  const fit = fitAt(chunk, grid, path.look, start, path.width);
  if (!fit) return null;
  const clear = fit.significance > CLEAR;
  const own = clear || darkness !== null ? locate(chunk, grid, path.look, start, path.width) : null;
  const asDark = own === null || darkness === null ? 1 : own.amplitude / (darkness * lightShared(fit.ground));
  const near = own !== null && Math.abs(own.t - start) < (asDark > DARKEST ? ASIDE : 2) * path.width && asDark > LEAST_SHARE;
  if (near && (clear || (darkness !== null && own.significance > PLAINLY_ASIDE && isUsual(shareOf(own), darkness)))) {
    const { t, significance, amplitude } = own;
    // What several chunks show together is known only once.
    return { t, sigma: own.sigma * Math.sqrt(chunk.shared ?? 1), significance, amplitude, share: shareOf(own) };
  }
  if (darkness === null) return null;
  const ratio = shareOf(fit) / darkness;
  if (!(ratio > LEAST_SHARE) || fit.significance < LEAST_SIGNIFICANCE) return null;
  if (Math.abs(fit.move * ratio) > path.width) return null;
  return { t: start + fit.move * ratio, sigma: fit.sigma * ratio, significance: fit.significance, amplitude: fit.amplitude, share: shareOf(fit) };
}

/** The line's amplitude as a share of the ground's light, median over the path at the expected places (where no search has chosen among noise). */
function usualDarkness(path: TracedPath, places: readonly (number | null)[], grid: StripGrid): number | null {
  const shares: number[] = [];
  const onBlack: number[] = [];
  const stride = Math.max(1, Math.floor(path.chunks.length / ENOUGH));
  for (let k = 0; k < path.chunks.length; k += stride) {
    const at = places[k];
    const fit = at === null ? null : fitAt(path.chunks[k].chunk, grid, path.look, at, path.width);
    if (fit && Math.abs(fit.ground) > LEAST_GROUND) shares.push(fit.amplitude / fit.ground);
    else if (fit) onBlack.push(shareOf(fit));
  }
  // Board that reflects nothing shows its slits as bright lines: there their own light is what is alike along the path.
  const told = onBlack.length > shares.length && medianOf(onBlack) > 0 ? onBlack : shares;
  if (told.length < 3) return null;
  const usual = medianOf(told);
  return Math.abs(usual) > FAINTEST ? usual : null;
}
