import { medianOf } from "../../statistics/median.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import { darknessAbout, nearestOf, type About } from "./darknessAbout.ts";
import { oddsAway } from "./drawnAside.ts";
import { isAlone, roughRuns } from "./edgeRuns.ts";
import { CLEAR, fitAt, isUsual, lightShared, shareOf } from "../locate.ts";
import { runsOf } from "./runs.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** A chunk this sure (amplitude over its uncertainty) of a place further away than its profile's width keeps it: there the cut has left the common map. */
const INSISTS = 12;
/** So many chunks in a row must lie off by the same, to within TOGETHER mm. */
const RUN = 5;
const TOGETHER = 0.1;
/** A slit is away from where it is expected by more than so many standard deviations of its path's chunks, and than a blade wanders, mm. */
const AWAY = 4;
const WANDERS = 0.05;
/** A run away and back has so many chunks. */
const FEWEST = 3;
/** So many of them are plain where the profiles of all tell plainly, and what leads there and back is drawn out by its slope; or where all of them lie on one bulge. */
const FEWEST_BETWEEN = 2;
/** Logarithm of the odds, 20 to 1, at which the profiles of a run tell a slit that is away from one in place with artwork beside it. */
const TOLD = 3;
/** So many chunks away from their places and back bit by bit, each of them seen. */
const BULGE = 7;
/** The same odds at which a knife may leave its path and come back steeply, where none of the run shows a slit in place and not all of it is plain. */
const PLAINLY = 20;

/** A hole smaller round than this, mm, has no room for a knife to leave its path for long and come back to it, and tells no shift of its own: what lies beside it is something else. */
export const SHORTEST = 50;

/** Whether a subpath is open and as short, a dash of a perforation or a slot: the knife has no room either to leave it and come back. */
export function isDash({ closed, length }: Pick<TracedPath, "closed" | "length">): boolean {
  return !closed && length < SHORTEST;
}

/** Where a path's cut was found away from its expected place, and from how far, mm, on it is away. */
export interface Departures {
  readonly told: readonly Departure[];
  readonly away: number;
  /** How dark the path's line usually is about each chunk; null where the whole path's darkness is all that is known. */
  readonly usual: readonly About[] | null;
  /** Which chunks show a slit away from its place more likely than one in it, as dark as those about it, told or not. */
  readonly astray: readonly boolean[];
}

/** What is known of a chunk whose cut was found away from its expected place: that the knife has `left` its path there, or that it has not, and `artwork` beside the slit drew the place aside. */
export type Departure = "left" | "artwork" | null;

/**
 * Where the knife has left its path, beyond doubt: for long and alike all the while, or away from it bit by bit and back again. What is as dark as the path is elsewhere and goes on where the
 * path stops is the cut; an edge of the artwork beside it neither begins nor ends at it, and leaves the slit in its place. Where a slit is asked for and an edge is all that is seen, nothing is told.
 *
 * @param places where each chunk's cut is expected, mm.
 * @param darkness of the path's line as a share of the ground's light; null for a step, and where it is not known.
 */
export function departuresOf(path: TracedPath, places: readonly (number | null)[], grid: StripGrid, blur: number, darkness: number | null): Departures {
  if (path.length < SHORTEST || path.unexpected || isHole(path)) return { told: path.chunks.map(() => null), away: path.width, usual: null, astray: [] };
  const off = path.chunks.map((c, k) => (c.found && places[k] !== null ? c.t - places[k] : null));
  const least = darkness === null ? INSISTS : CLEAR;
  const scatter = robustSigma(off.flatMap((d) => (d === null ? [] : [d])));
  const away = darkness === null ? path.width : Math.min(path.width, Math.max(WANDERS, AWAY * scatter));
  const inPlace = off.map((d) => d !== null && Math.abs(d) < away);
  const usual = darkness === null ? null : darknessAbout(path, inPlace, darkness);
  const usualAt = (k: number): number | null => usual?.[k].both ?? null;
  const lips = path.chunks.map((c, k) => isLip(c, off[k], path, grid));
  const plain = path.chunks.map((c, k) => isPlain(c, usual && nearestOf(usual[k], c.share), least) && !lips[k] && !isThere(c, places[k], path, grid, usualAt(k)) && !isWallsEnd(c, off[k], path));
  const likelier = path.chunks.map((c, k) => (usual === null || off[k] === null || inPlace[k] ? 0 : evidenceOf(c, places[k], path, grid, blur, usual[k].both)));
  const far = inRuns(path.chunks.map((c, k) => (isFar(c, places[k], path) && plain[k] && c.significance >= INSISTS && (darkness === null || likelier[k] > 0) ? off[k] : null)), path.closed);
  if (darkness === null) {
    if (path.look !== "step") return { told: far.map((f) => (f ? "left" : null)), away, usual, astray: [] };
    const bent = bends(off.map((d, k) => (inPlace[k] || plain[k] ? d : null)), inPlace, inPlace.map(() => false), BEND, HIDDEN, path.closed).map((is, k) => is && !isAlone(off, k, path.closed));
    const near = Math.min(path.width, Math.max(WANDERS, AWAY * scatter));
    const gone = goneEdge(path, off, plain, places, grid, near);
    const left = far.map((f, k) => f || bent[k] || gone[k]);
    const rough = roughRuns(off, left, near, path.closed);
    return { told: left.map((is, k) => (rough[k] ? "artwork" : is ? "left" : null)), away: near, usual, astray: rough };
  }
  const hidden = withNeighbours(path.chunks.map((c, k) => !showsAt(c, places[k], path, grid, usualAt(k))), off, path.closed);
  // Print that is about as dark as the slit makes it faint, and it goes on all the same.
  const faint = path.chunks.map((c, k) => hidden[k] && !lips[k] && c.significance >= INSISTS && likelier[k] > 0);
  // Where artwork beside a slit in its place is all that was found, the slit is there.
  const drawn = off.map((d, k) => d !== null && !plain[k] && likelier[k] <= -TOLD);
  const back = inPlace.map((is, k) => is || drawn[k]);
  const aside = off.map((d, k) => (drawn[k] ? 0 : d));
  const sightings = aside.map((d, k) => (back[k] || plain[k] || faint[k] ? d : null));
  const bent = bends(sightings, back, hidden, Math.hypot(BEND, AWAY * scatter), HIDDEN, path.closed);
  const steep = bends(sightings, back, aside.map((d, k) => d === null || hidden[k]), STEEP, HIDDEN_STEEP, path.closed);
  const unbroken = bends(aside, back, back.map(() => false), Math.hypot(BEND, AWAY * scatter), 0, path.closed);
  const out: Departure[] = far.map((left, k) => (left ? "left" : drawn[k] ? "artwork" : null));
  for (const run of runsOf(aside.map((d, k) => d !== null && !back[k]), back, path.closed)) {
    const lone = (k: number): boolean => likelier[k] < TOLD && isSpike(aside, k, path.closed);
    const tell = tellRun(run, { off: aside, plain, hidden, likelier, bent, steep, unbroken }, path.width);
    for (const k of run) if (!lone(k)) out[k] ??= tell(k);
  }
  return { told: out, away, usual, astray: off.map((d, k) => d !== null && !inPlace[k] && plain[k] && likelier[k] > 0) };
}

/** Whether a chunk was found beyond both that were found before and after it, by more than a knife bends: it is something else than the run. */
function isSpike(off: readonly (number | null)[], k: number, closed: boolean): boolean {
  const n = off.length;
  const next = (way: 1 | -1): number | null => {
    for (let steps = 1; steps < n; steps++) {
      const found = off[closed ? (k + way * steps + n) % n : k + way * steps] ?? null;
      if (found !== null) return found;
    }
    return null;
  };
  const beside = [next(-1), next(1)].filter((d) => d !== null);
  const own = off[k];
  return own !== null && beside.length > 0 && (own < Math.min(...beside) - BEND || own > Math.max(...beside) + BEND);
}

/** Something printed across a cut may look like it in one chunk: where nothing shows in its place on either side of that, and all three were found off alike, nothing does in it. */
function withNeighbours(hidden: readonly boolean[], off: readonly (number | null)[], closed: boolean): boolean[] {
  const n = hidden.length;
  const isAlike = (k: number, i: number): boolean => {
    const beside = closed ? (i + n) % n : i;
    const [own, other] = [off[k], off[beside] ?? null];
    return hidden[beside] === true && own !== null && other !== null && Math.abs(own - other) < TOGETHER;
  };
  return hidden.map((own, k) => own || (isAlike(k, k - 1) && isAlike(k, k + 1)));
}

/** An edge as high as those about it has their share of the light to within this factor: of a shadow's end, a wall's or the artwork's it is another. */
const AS_HIGH = 1.4;

/** Where the edge of a piece has left its path however steeply: all of a run as high as the edges about it with none left in place, from an edge in place and back to one. */
function goneEdge(path: TracedPath, off: readonly (number | null)[], plain: readonly boolean[], places: readonly (number | null)[], grid: StripGrid, near: number): boolean[] {
  const inPlace = off.map((d) => d !== null && Math.abs(d) < near);
  const usual = darknessAbout(path, inPlace, medianOf(path.chunks.filter((_, k) => inPlace[k]).map((c) => c.share)));
  const isGone = (c: TracedChunk, k: number): boolean => {
    const height = c.share / usual[k].both;
    return plain[k] && height > 1 / AS_HIGH && height < AS_HIGH && (Math.abs(off[k] ?? 0) < path.width || !showsAt(c, places[k], path, grid, usual[k].both));
  };
  const sightings = off.map((d, k) => (inPlace[k] || isGone(path.chunks[k], k) ? d : null));
  const steep = bends(sightings, inPlace, off.map((d) => d === null), STEEP, HIDDEN, path.closed);
  const out = off.map(() => false);
  for (const run of runsOf(off.map((d, k) => d !== null && !inPlace[k]), inPlace, path.closed)) {
    if (run.length >= FEWEST && run.every((k) => steep[k]) && run.some((k) => Math.abs(off[k] ?? 0) > path.width)) for (const k of run) out[k] = true;
  }
  return out;
}

/** What is known of a path's chunks, one by one: how far from its place each was found, mm, whether plainly, whether nothing shows in its place, how much likelier it has left that, and whether what leads there leads bit by bit or steeply. */
interface Sightings {
  readonly off: readonly (number | null)[];
  readonly plain: readonly boolean[];
  readonly hidden: readonly boolean[];
  readonly likelier: readonly number[];
  readonly bent: readonly boolean[];
  readonly steep: readonly boolean[];
  /** Whether bit by bit with every chunk seen, however faint. */
  readonly unbroken: readonly boolean[];
}

/** Tells of each chunk of a run out of place what it is: by what the run says together, and how it leads there. */
function tellRun(run: readonly number[], { off, plain, hidden, likelier, bent, steep, unbroken }: Sightings, width: number): (k: number) => Departure {
  const sum = run.reduce((s, k) => s + likelier[k], 0);
  const allPlain = run.every((k) => plain[k]);
  const bare = run.every((k) => hidden[k] || Math.abs(off[k] ?? 0) < width);
  // Faint chunks that all lie on one bulge bear each other out: artwork beside a slit has them here and there.
  const bulge = run.length >= BULGE && run.every((k) => unbroken[k]);
  const gone = bare && sum >= (allPlain || bulge ? TOLD : PLAINLY);
  const led = (k: number): boolean => bent[k] || (gone && (steep[k] || bulge));
  // All of it as plain as the path's others, with nothing left in place, is the slit unless the profiles say otherwise.
  const enough = bare && allPlain && run.every((k) => bent[k]) ? 0 : TOLD;
  const plainly = run.filter((k) => plain[k] && led(k)).length;
  // Fewer do where two of three hold: a few of them are plain, all lie on one bulge, the profiles tell plainly.
  const grounds = [plainly >= FEWEST_BETWEEN, bulge, sum >= PLAINLY].filter(Boolean).length;
  const enoughPlain = plainly >= FEWEST || (gone && grounds >= 2);
  // What lies now on the one side of the path and now on the other is no knife that has left it.
  const onOneSide = run.every((k) => (off[k] ?? 0) * (off[run[0]] ?? 0) > 0);
  const verdict = sum >= enough && enoughPlain && onOneSide ? "left" : sum <= -TOLD ? "artwork" : null;
  return (k) => (verdict === "left" && !led(k) && !(gone && likelier[k] > 0) ? null : verdict);
}

/** In a hole its wall and the shade in it lie off along one side, and come and go along its bend as a knife does that leaves its path. */
function isHole({ look, away }: TracedPath): boolean {
  return look === "step" && away < 0;
}

/** Whether a chunk's cut was found so far from the expected place that asking there could not lead to it. */
export function isFar(c: TracedChunk, at: number | null, path: TracedPath): boolean {
  return at !== null && c.found && Math.abs(c.t - at) > path.width + 0.1;
}

/** Whether a chunk shows a cut at least so significant and as dark as its path is elsewhere. */
export function isPlain(c: TracedChunk, darkness: number | null, least: number): boolean {
  return c.found && c.significance >= least && (darkness === null || isUsual(c.share, darkness));
}

/** How much likelier a slit where it was found makes a chunk than one in place with artwork beside it (see drawnAside.ts). */
function evidenceOf(c: TracedChunk, at: number | null, path: TracedPath, grid: StripGrid, blur: number, darkness: number): number {
  const ground = at === null ? null : (fitAt(c.chunk, grid, path.look, c.t, path.width)?.ground ?? null);
  return at === null || ground === null ? 0 : oddsAway(c.chunk, grid, at, c.t, darkness * lightShared(ground), path.width, blur);
}

/** Further apart than this, profile widths, two lines do not reach into each other's fits. */
const APART = 3;
/** Significance and share of the usual darkness from which a slit is where it is expected. */
const PLAIN = 4;
const PLAIN_SHARE = 0.5;

/** Whether a slit as dark as the path's others is where it is expected: what runs well beside it is a printed line then, or the edge of the artwork. A knife that leaves its path leaves nothing there. */
function isThere(c: TracedChunk, at: number | null, path: TracedPath, grid: StripGrid, darkness: number | null): boolean {
  return at !== null && Math.abs(c.t - at) >= APART * path.width && showsAt(c, at, path, grid, darkness);
}

/** How much wider than known a board's wall may be seen, as a share. */
const WALL_WIDER = 0.3;

/** Whether what was found so far off, mm, may be the end of the board's wall, which is plainer than the face's own edge where the wall looks like the face. */
function isWallsEnd({ chunk: { wall = 0 } }: TracedChunk, off: number | null, { width }: TracedPath): boolean {
  return off !== null && off * wall > 0 && Math.abs(off) < (1 + WALL_WIDER) * Math.abs(wall) + width;
}

/** On print darker than the slit itself its lip is the brighter of the two, no further from the slit's middle than this, mm: half a slit and a lip (common practice, no source). */
const LIP = 0.45;

/** Whether what was found so far off, mm, may be the lip of a slit that hardly shows in dark print. */
function isLip(c: TracedChunk, off: number | null, path: TracedPath, grid: StripGrid): boolean {
  if (!c.chunk.own || off === null || Math.abs(off) > LIP || path.look !== "line") return false;
  const fit = fitAt(c.chunk, grid, path.look, c.t, path.width);
  return fit !== null && fit.ground < 0;
}

/** Whether a place shows a slit at least half as dark as its path's others. */
export function showsAt(c: TracedChunk, at: number | null, path: TracedPath, grid: StripGrid, darkness: number | null): boolean {
  if (at === null || darkness === null) return false;
  const fit = fitAt(c.chunk, grid, path.look, at, path.width);
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

/** A knife that leaves its path goes away and comes back by no more than this from chunk to chunk, mm, and by what its chunks scatter. */
const BEND = 0.25;
/** As steeply as one of eight, from chunk to chunk, mm. */
const STEEP = 0.65;

/** So many chunks of a run may be hidden by what lies across the cut, and of one that leaves steeply. */
const HIDDEN = 2;
const HIDDEN_STEEP = 3;

/** Which chunks out of place lie on a run that starts from one in place and comes back to one. Where something hides both the expected place and the cut it goes on, for it goes on after that. */
function bends(off: readonly (number | null)[], inPlace: readonly boolean[], hidden: readonly boolean[], bend: number, mostHidden: number, closed: boolean): boolean[] {
  const n = off.length;
  const comesBack = (k: number, way: 1 | -1): boolean => {
    let last = off[k];
    for (let i = k, steps = 0, gap = 1; steps < n; steps++) {
      i = closed ? (i + way + n) % n : i + way;
      const next = off[i] ?? null;
      if (next === null) {
        if (!hidden[i] || ++gap > mostHidden + 1) return false;
        continue;
      }
      if (last === null || Math.abs(next - last) > bend * gap) return false;
      if (inPlace[i]) return true;
      [last, gap] = [next, 1];
    }
    return false;
  };
  return off.map((d, k) => d !== null && !inPlace[k] && comesBack(k, 1) && comesBack(k, -1));
}
