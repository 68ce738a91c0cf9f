import type { Chunk, StripGrid } from "./strip.ts";
import { fitAt, isUsual, locate, shareOf } from "./locate.ts";
import { unbiased, type Trace, type TracedChunk, type TracedPath } from "./trace.ts";

/** Where the map that all cuts agree on expects a chunk's cut, mm along its normal in the strip's view; null where it does not see it. */
export type Expectation = (chunk: Chunk, path: Pick<TracedPath, "look" | "away">) => number | null;

/** Amplitude over its uncertainty from which a chunk finds its own place; fainter ones are asked only how far they lie from where they are expected. */
const CLEAR = 8;
/** A chunk this sure (amplitude over its uncertainty) of a place further away than its profile's width keeps it: there the cut has left the common map. */
const INSISTS = 12;
/** So many chunks in a row must lie off by the same, to within TOGETHER mm. */
const RUN = 5;
const TOGETHER = 0.1;
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
 * One chunk in `every` is asked; the others stay as they were.
 */
export function relocate({ paths, grid, blur, shift }: Trace, expected: Expectation, every = 1): Trace {
  const places = paths.map((path) => path.chunks.map((c) => (c.chunk.stations > 0 ? expected(c.chunk, path) : null)));
  const again = paths.map((path, i) => relocatePath(path, places[i], grid, every));
  return { paths: every === 1 ? unbiased(again, grid, blur, places) : again.map((path, i) => biasedAs(paths[i], path)), grid, blur, shift };
}

function relocatePath(path: TracedPath, places: readonly (number | null)[], grid: StripGrid, every: number): TracedPath {
  const darkness = path.look === "line" ? usualDarkness(path, places, grid) : null;
  const left = leaves(path, places, grid, darkness);
  return {
    ...path,
    chunks: path.chunks.map((c, k): TracedChunk => {
      const before = { ...c, t: c.t - c.bias, bias: 0 };
      const at = places[k];
      if (at === null || k % every !== 0) return before;
      const asked = left[k] && isFar(c, at, path) ? null : ask(c.chunk, grid, path, at - c.bias, darkness);
      return asked ? { ...before, ...asked, found: true, left: left[k] } : { ...before, found: left[k], left: left[k] };
    }),
  };
}

/** A path on the way has the biases that it had. */
function biasedAs(before: TracedPath, path: TracedPath): TracedPath {
  return { ...path, chunks: path.chunks.map((c, k) => ({ ...c, t: c.t + before.chunks[k].bias, bias: before.chunks[k].bias })) };
}

/**
 * Where the knife has left its path, beyond doubt: for long and alike all the while, or away from it bit by bit and back again. What is as dark as the path is elsewhere and goes on where the
 * path stops is the cut; an edge of the artwork beside it neither begins nor ends at it.
 */
function leaves(path: TracedPath, places: readonly (number | null)[], grid: StripGrid, darkness: number | null): boolean[] {
  const plain = (c: TracedChunk, k: number, least: number): boolean => isPlain(c, darkness, least) && !isThere(c, places[k], path, grid, darkness);
  const off = path.chunks.map((c, k) => (c.found && places[k] !== null ? c.t - places[k] : null));
  const far = inRuns(path.chunks.map((c, k) => (isFar(c, places[k], path) && plain(c, k, INSISTS) ? off[k] : null)), path.closed);
  if (darkness === null && path.look !== "step") return far;
  const inPlace = off.map((d) => d !== null && Math.abs(d) < path.width);
  const bent = bends(path.chunks.map((c, k) => (inPlace[k] || plain(c, k, darkness === null ? INSISTS : CLEAR) ? off[k] : null)), inPlace, path.closed);
  return far.map((f, k) => f || bent[k]);
}

/** Whether a chunk's cut was found so far from the expected place that asking there could not lead to it. */
function isFar(c: TracedChunk, at: number | null, path: TracedPath): boolean {
  return at !== null && c.found && Math.abs(c.t - at) > path.width + 0.1;
}

/** Whether a chunk shows a cut at least so significant and as dark as its path is elsewhere. */
function isPlain(c: TracedChunk, darkness: number | null, least: number): boolean {
  return c.found && c.significance >= least && (darkness === null || isUsual(c.share, darkness));
}

/** Further apart than this, profile widths, two lines do not reach into each other's fits. */
const APART = 3;
/** Significance and share of the usual darkness from which a slit is where it is expected. */
const PLAIN = 4;
const PLAIN_SHARE = 0.5;

/** Whether a slit as dark as the path's others is where it is expected: what runs well beside it is a printed line then, or the edge of the artwork. A knife that leaves its path leaves nothing there. */
function isThere(c: TracedChunk, at: number | null, path: TracedPath, grid: StripGrid, darkness: number | null): boolean {
  if (at === null || darkness === null || Math.abs(c.t - at) < APART * path.width) return false;
  const fit = fitAt(c.chunk, grid, path.look, at - c.bias, path.width);
  return fit !== null && fit.significance > PLAIN && shareOf(fit) / darkness > PLAIN_SHARE;
}

/** Only runs of chunks that lie off alike are believed: a knife leaves its path for longer than an edge of the artwork happens to run beside it. */
function inRuns(off: readonly (number | null)[], closed: boolean): boolean[] {
  const n = off.length;
  const at = (k: number): number | null => (closed ? off[(k + n) % n] : (off[k] ?? null));
  const joined = (a: number | null, b: number | null): boolean => a !== null && b !== null && Math.abs(a - b) < TOGETHER;
  return off.map((own, k) => {
    if (own === null) return false;
    let run = 1;
    for (let i = k; run < RUN && joined(at(i), at(i - 1)); i--) run++;
    for (let i = k; run < RUN && joined(at(i), at(i + 1)); i++) run++;
    return run >= Math.min(RUN, n);
  });
}

/** A knife that leaves its path goes away and comes back by no more than this from chunk to chunk, mm. */
const BEND = 0.25;

/** Which chunks out of place lie on a run that starts from one in place and comes back to one, without a gap. */
function bends(off: readonly (number | null)[], inPlace: readonly boolean[], closed: boolean): boolean[] {
  const n = off.length;
  const comesBack = (k: number, way: 1 | -1): boolean => {
    for (let i = k, steps = 0; steps < n; steps++) {
      const next = closed ? (i + way + n) % n : i + way;
      const [a, b] = [off[i], off[next] ?? null];
      if (a === null || b === null || Math.abs(a - b) > BEND) return false;
      if (inPlace[next]) return true;
      i = next;
    }
    return false;
  };
  return off.map((d, k) => d !== null && !inPlace[k] && comesBack(k, 1) && comesBack(k, -1));
}

function ask(chunk: Chunk, grid: StripGrid, path: TracedPath, start: number, darkness: number | null): Pick<TracedChunk, "t" | "sigma" | "significance" | "share"> | null {
  const fit = fitAt(chunk, grid, path.look, start, path.width);
  if (!fit) return null;
  if (fit.significance > CLEAR) {
    const own = locate(chunk, grid, path.look, start, path.width);
    if (own && Math.abs(own.t - start) < 2 * path.width && (darkness === null || own.amplitude * Math.sign(darkness) > LEAST_SHARE * Math.abs(darkness) * fit.ground)) {
      const { t, sigma, significance } = own;
      return { t, sigma, significance, share: shareOf(own) };
    }
  }
  if (darkness === null) return null;
  const ratio = shareOf(fit) / darkness;
  if (!(ratio > LEAST_SHARE) || fit.significance < LEAST_SIGNIFICANCE) return null;
  if (Math.abs(fit.move * ratio) > path.width) return null;
  return { t: start + fit.move * ratio, sigma: fit.sigma * ratio, significance: fit.significance, share: shareOf(fit) };
}

/** The line's amplitude as a share of the ground's light, median over the path at the expected places (where no search has chosen among noise). */
function usualDarkness(path: TracedPath, places: readonly (number | null)[], grid: StripGrid): number | null {
  const shares: number[] = [];
  const stride = Math.max(1, Math.floor(path.chunks.length / ENOUGH));
  for (let k = 0; k < path.chunks.length; k += stride) {
    const { chunk, bias } = path.chunks[k];
    const at = places[k];
    const fit = at === null ? null : fitAt(chunk, grid, path.look, at - bias, path.width);
    if (fit && fit.ground > 0.01) shares.push(fit.amplitude / fit.ground);
  }
  if (shares.length < 3) return null;
  shares.sort((a, b) => a - b);
  const usual = shares[shares.length >> 1];
  return Math.abs(usual) > FAINTEST ? usual : null;
}
