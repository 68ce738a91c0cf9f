import type { PrintPoint } from "../geometry/frames.ts";
import type { Cut, Job } from "../job/schema.ts";
import { chain, MOST_CONVINCING } from "./chain.ts";
import { isDash } from "./departures/departures.ts";
import { bestRun, evidenceOf, isSlit, profileOf, type CutLook } from "./evidence/evidence.ts";
import { isUsual, locate, profileWidth, shareOf, type Located } from "./locate.ts";
import { elsewhere, usualOf } from "./departures/movedSlits.ts";
import { outOfShadow } from "./shadows/outOfShadow.ts";
import { medianOf } from "../statistics/median.ts";
import { awayOf, isWithin } from "./strips/sides.ts";
import { withoutPrintedLines } from "./evidence/printedLines.ts";
import { isKeptSlug } from "./walls/keptSlugs.ts";
import { predictedOffset, registerPaths, type CoarseShift, type Sight } from "./register.ts";
import type { Chunk, StripGrid } from "./strips/strip.ts";
import type { Strip, Strips } from "./strips/strips.ts";
import { middleOfTop, summit } from "./summit.ts";

/** A chunk of a feature with the cut located across it; `found` is false where it was not, or not surely. */
export interface TracedChunk {
  readonly chunk: Chunk;
  readonly found: boolean;
  /** Distance from the nominal path along the normal, mm, under the view that the strip was sampled with. */
  readonly t: number;
  readonly sigma: number;
  /** What t holds for the lip and the bend of the edge: the symmetric profile lies at t - bias. 0 where that is not looked at yet (see unbiased.ts). */
  readonly bias: number;
  /** Standard uncertainty that its lip leaves to a slit, and the shade at its foot to an edge, mm: alike for all of a direction. Absent where that is not looked at yet. */
  readonly lip?: number;
  /** Amplitude over its own standard uncertainty. */
  readonly significance: number;
  /** Amplitude over the ground's light. */
  readonly share: number;
  /** True where the knife has left its path beyond doubt (see relocate.ts). */
  readonly left?: boolean;
  /** True where it showed a slit away from its place more likely than one in it (see departures.ts). */
  readonly astray?: boolean;
  /** True where a slit is not in its place though it would show there, and was not found elsewhere (see missing.ts). */
  readonly missing?: boolean;
  /** Standard uncertainty that an edge of the print beside it leaves to its place, mm, with the sign of the side that is lighter; absent where none runs there (see besideEdge.ts). */
  readonly beside?: number;
  /** How much darker its ground is than that of most slits (logarithm); absent where it is no slit (see tones.ts). */
  readonly tone?: number;
  /** True where a slit is brighter than the print it is cut through. */
  readonly bright?: boolean;
  /** True where the light falls into the slit, and its dark is not seen (see litWalls.ts). */
  readonly lit?: boolean;
}

/** One subpath of a feature, traced. */
export interface TracedPath {
  readonly feature: string;
  readonly kind: Cut["kind"];
  readonly look: CutLook;
  readonly closed: boolean;
  /** +1 where the path's normal points away from the piece (the outside of a blank), -1 where into it (a window, a lost slug), 0 for an open path. */
  readonly away: -1 | 0 | 1;
  /** Length of the subpath, mm. */
  readonly length: number;
  readonly chunks: readonly TracedChunk[];
  /** Sigma of the profile across, mm: blur and the slit's own width. */
  readonly width: number;
  /** True for an edge over a gap where the job has a slit in the sheet: artwork has such edges too, beside slits that do not show. */
  readonly unexpected?: boolean;
  /** True where the whole piece has moved while it was cut: it says nothing of where the others are. */
  readonly moved?: boolean;
  /** True where only a lip is seen of a slit that does not show (see lipsAlone.ts). */
  readonly lipAlone?: boolean;
  /** Directions in which a shadow ends beside it, and what it leaves to the place of all its chunks there together, mm (standard uncertainty; see shadowEnds.ts and hueEdges.ts). Absent where none does. */
  readonly shadowed?: ReadonlyMap<number, number>;
  /** Sign of the light beyond its edge against the piece's, where shadows lie on a lighter table: an edge of the other sign is a shadow's. Absent elsewhere. */
  readonly tone?: number;
}

/** All paths of a job, traced in one strip each. */
export interface Trace {
  readonly paths: readonly TracedPath[];
  readonly grid: StripGrid;
  /** Sigma of the picture's blur, mm. */
  readonly blur: number;
  /** What all cuts together agree on, coarsely. */
  readonly shift: CoarseShift;
}

/** Least significance (amplitude over its uncertainty) of a located chunk. */
const SURE = 4;
/** So many chunks tell the width of all slits. */
const FOR_ALL_SLITS = 64;

/** Where a board's back lies from its face as seen at a place of the sheet, mm; null for a flat scan. */
export type Askew = ((place: PrintPoint) => { readonly x: number; readonly y: number }) | null;

/** What slits in the sheet may look like. */
export interface SlitsAs {
  /** Light of the slits themselves, linear, where the light is as in the sheet's middle: print that is darker shows them as bright lines (default 0: none is; see slitLight.ts). */
  readonly own?: number;
  /** Whether one may be seen by its edge over a gap (default true). */
  readonly edges?: boolean;
  /** Whether one may be seen as a bright line, by its bared edges (default true). */
  readonly bright?: boolean;
}

/** Locates the cut across every strip, chunk by chunk. */
export function traceCuts(strips: Strips, job: Job, askew: Askew, { own = 0, edges = true, bright = true }: SlitsAs = {}): Trace {
  const { grid, blur } = strips;
  const paths = strips.paths.map((strip): StripSeen => {
    const chunks = own > 0 && strip.kind === "cut" ? strip.chunks.map((c) => ({ ...c, own: own * (c.light ?? 1) })) : strip.chunks;
    const mayGap = job.state === "stripped" && (strip.closed || !isWithin(strip, strips.paths));
    const sights = sightsOf({ ...strip, chunks, mayGap }, grid, blur, { edges, bright });
    return { ...strip, chunks, away: 0, mayGap, sights, sight: plainest(sights, ({ witnesses }) => bestRun(witnesses.map((w) => w.evidence), grid).mean) };
  });
  const rows = rowsOfDashes(paths);
  for (const row of rows) lookAlike(row, grid);
  const shift = registerLooks(paths, new Set(rows.flat()), grid);
  const cuts = paths.filter(({ cut }) => cut.kind === "cut");
  const usual = usualOf(cuts, shift, grid);
  for (const path of cuts) {
    const moved = elsewhere(path, shift, usual, grid);
    if (moved) [path.sight, path.own] = [moved.sight, moved.own];
  }
  for (const path of paths) path.away = awayOf(path, paths, path.sight.look === "step" && job.state === "in-sheet");
  for (const path of paths) if (path.sight.look === "step") path.chunks = path.chunks.map((c) => ({ ...c, wall: wallSeen(c, askew, path.away) }));
  const chained = paths.map((path) => chainedPlaces(path, path.own ?? shift, grid));
  const slits = widthOfSlits(paths, chained, grid, blur);
  const traced = paths.map((path, i) => locatePath(path, isGap(path), chained[i], seenAsSlit(path) ? slits : profileWidth(path.chunks, placesOf(chained[i], grid), grid, path.sight.look, blur), grid));
  const cut = withoutPrintedLines(withKeptSlugs(traced, paths, shift, slits, grid), paths, shift, grid);
  return { ...(job.state === "stripped" ? outOfShadow(cut.paths, paths, cut.shift, grid) : cut), grid, blur };
}

/** The short open subpaths of each feature that has several, as a perforation has. */
function rowsOfDashes(paths: readonly StripSeen[]): StripSeen[][] {
  const dashes = paths.filter(isDash);
  return [...new Set(dashes.map(({ cut }) => cut))].map((cut) => dashes.filter((path) => path.cut === cut)).filter((row) => row.length > 1);
}

/** Takes all dashes of a row for the same: one alone, beside an edge of the print, may look like anything. */
function lookAlike(row: readonly StripSeen[], grid: StripGrid): void {
  const together = row[0].sights.map((sight, i): Sight => ({ ...sight, witnesses: row.flatMap(({ sights }) => sights[i].witnesses) }));
  const look = together.indexOf(plainest(together, ({ witnesses }) => bestRun(witnesses.map((w) => w.evidence), grid).mean));
  for (const path of row) path.sight = path.sights[look];
}

/** A look that runs along its path farther than this from where the cuts of all paths together are, mm, is something else's: the edge of a bleed runs along the whole path too, but beside it. */
const TOGETHER = 1;

/** What all paths agree on coarsely. Paths whose look runs elsewhere, and is not settled, are taken for what is nearest to being a cut there, and all are asked again. */
function registerLooks(paths: readonly StripSeen[], settled: ReadonlySet<StripSeen>, grid: StripGrid): CoarseShift {
  const shift = registerPaths(paths, grid);
  let changed = false;
  for (const path of paths) {
    if (settled.has(path)) continue;
    const expected = path.chunks.map((c) => predictedOffset(shift, c));
    const runOf = ({ witnesses }: Sight, within: number): ReturnType<typeof bestRun> => bestRun(witnesses.map((w) => w.evidence), grid, expected, within);
    if (Math.abs(runOf(path.sight, grid.reach).at) <= TOGETHER) continue;
    const sight = plainest(path.sights, (s) => runOf(s, TOGETHER).mean);
    if (sight === path.sight) continue;
    path.sight = sight;
    changed = true;
  }
  return changed ? registerPaths(paths, grid) : shift;
}

/** A wall narrower than this, mm, moves no edge. */
const LEAST_WALL = 0.02;

/** The board's wall is seen where its back comes out from under its face, on the side away from the piece: how far along the chunk's normal, mm. */
export function wallSeen(c: Pick<Chunk, "x" | "y" | "nx" | "ny">, askew: Askew, away: number): number {
  if (!askew) return 0;
  const back = askew(c);
  const along = (c.nx * back.x + c.ny * back.y) / (Math.hypot(c.nx, c.ny) || 1);
  return away * along > LEAST_WALL ? along : 0;
}

/** A strip with what it may be taken for, and what it is. */
interface StripSeen extends Omit<Strip, "chunks"> {
  /** Whether the job has a gap along it, of stripped pieces: but for the slits within them. */
  readonly mayGap: boolean;
  away: -1 | 0 | 1;
  chunks: readonly Chunk[];
  readonly sights: readonly Sight[];
  sight: Sight;
  /** Where it lies by itself, away from the others. */
  own?: CoarseShift;
}

/**
 * A crease is a crease; a cut is a thin line where the pieces are still in the sheet, a step where a slug is lost or the piece has been stripped. Windows may have
 * been stripped too and an outline drawn open, so where the job leaves it open the picture decides.
 */
function sightsOf({ cut, closed, chunks, mayGap }: Pick<StripSeen, "cut" | "closed" | "chunks" | "mayGap">, grid: StripGrid, blur: number, { edges, bright }: Required<Omit<SlitsAs, "own">>): Sight[] {
  const profiles = chunks.map(profileOf);
  const sight = (look: CutLook, sign: -1 | 0 | 1, weight: number): Sight => ({ look, weight, witnesses: chunks.map((chunk, k) => ({ chunk, evidence: evidenceOf(profiles[k], grid, look, blur, sign, chunk.own), counts: Math.min(1, weight) })) });
  if (cut.kind === "crease") return [sight("crease", 0, 1)];
  const step = "circle" in cut ? 2.5 : mayGap ? (closed ? 2.5 : 1.2) : 0.12;
  // A slit is dark; only on dark board is its bright lip all there is to see.
  const lines = [sight("line", -1, 1), ...(bright ? [sight("line", 1, 0.6)] : [])];
  return edges || "circle" in cut || mayGap ? [...lines, sight("step", -1, step), sight("step", 1, step)] : lines;
}

/** The sight with the most convincing run, as `run` tells how much each has. */
function plainest(sights: readonly Sight[], run: (sight: Sight) => number): Sight {
  const weighed = sights.map((sight) => sight.weight * run(sight));
  return sights[weighed.indexOf(Math.max(...weighed))];
}

/** Whether an edge over a gap is what the job says of a path: a lost slug or a stripped outline. Elsewhere a step may be the artwork's. */
function isGap({ cut, sight, mayGap }: StripSeen): boolean {
  return sight.look === "step" && ("circle" in cut || mayGap);
}

/** Where the chain has each chunk's cut, steps of the grid. */
function chainedPlaces({ sight: { look, witnesses }, chunks, closed, own }: StripSeen, shift: CoarseShift, grid: StripGrid): readonly number[] {
  const evidence = witnesses.map((w) => w.evidence);
  const places = chain(evidence, chunks.map((c) => predictedOffset(shift, c)), grid, closed, own !== undefined);
  // Of a wide slit the chain, to which all plain evidence is alike, may have taken one edge.
  return places.map((at, k) => (look === "step" || evidence[k][at] >= MOST_CONVINCING ? middleOfTop(evidence[k], at, grid) : at));
}

/** The same, mm. */
function placesOf(chained: readonly number[], grid: StripGrid): number[] {
  return chained.map((i) => i * grid.step - grid.reach);
}

/** Holes whose slugs have stayed in their places are traced as slits of the width of all. */
function withKeptSlugs(traced: readonly TracedPath[], paths: readonly StripSeen[], shift: CoarseShift, width: number, grid: StripGrid): TracedPath[] {
  const darkness = medianOf(traced.flatMap((path) => (isSlit(path) ? path.chunks.flatMap((c) => (c.found ? [c.share] : [])) : [])));
  return traced.map((path, i) => {
    if (path.look !== "step" || !("circle" in paths[i].cut) || !(darkness < 0)) return path;
    const slit = slitOf(paths[i], paths);
    const asSlit = locatePath(slit, false, chainedPlaces(slit, slit.own ?? shift, grid), width, grid);
    return isKeptSlug(path, asSlit, darkness, grid) ? asSlit : path;
  });
}

/** A path taken for a dark slit, whatever it was seen as. */
function slitOf(path: StripSeen, paths: readonly StripSeen[]): StripSeen {
  const sight = path.sights.find(({ look }) => look === "line") ?? path.sight;
  return { ...path, sight, away: awayOf(path, paths, false), chunks: path.chunks.map((c) => ({ ...c, wall: 0 })) };
}

/** Whether a path that is not located yet is seen as a slit. */
function seenAsSlit({ cut: { kind }, sight: { look } }: StripSeen): boolean {
  return isSlit({ kind, look });
}

/**
 * The width of all slits: one blade has cut them. A lip draws a wide profile farther aside than a narrow one, so that pieces whose slits were fitted with unlike widths would seem to lie off against each other.
 */
function widthOfSlits(paths: readonly StripSeen[], chained: readonly (readonly number[])[], grid: StripGrid, blur: number): number {
  const slits = paths.flatMap((path, i) => (seenAsSlit(path) ? [{ chunks: path.chunks, places: placesOf(chained[i], grid) }] : []));
  return profileWidth(slits.flatMap((s) => s.chunks), slits.flatMap((s) => s.places), grid, "line", blur, FOR_ALL_SLITS);
}

function locatePath(path: StripSeen, gap: boolean, chained: readonly number[], width: number, grid: StripGrid): TracedPath {
  const { look, witnesses } = path.sight;
  const evidence = witnesses.map((w) => w.evidence);
  const places = placesOf(chained, grid);
  const first = path.chunks.map((chunk, k) => (chunk.stations > 0 && evidence[k].some((v) => v > 0) ? locate(chunk, grid, look, places[k], width) : null));
  const usual = medianOf(first.flatMap((l) => (l && l.significance > SURE ? [shareOf(l)] : [])));
  // A slit is as dark as its path's others; what lies beyond a step differs along it.
  const isPlain = (l: Located | null): boolean => l !== null && l.significance > SURE && (look === "line" ? isUsual(shareOf(l), usual) : shareOf(l) * usual > 0);
  const located = look !== "line" && !gap ? first : first.map((l, k) => {
    if (path.chunks[k].stations === 0 || isPlain(l)) return l;
    const uphill = summit(evidence[k], chained[k], grid);
    // A knife that leaves its path leaves it faster than a chain follows where its slit is faint.
    const tries = look === "line" ? [uphill, evidence[k].indexOf(Math.max(...evidence[k]))] : [uphill];
    for (const at of tries) {
      const again = locate(path.chunks[k], grid, look, at * grid.step - grid.reach, width);
      if (isPlain(again)) return again;
    }
    return l;
  });
  // All of a path takes light, or all of it gives light: a chunk that does the other is something else.
  const sign = Math.sign(located.reduce((s, l) => s + (l && l.significance > SURE ? Math.sign(shareOf(l)) : 0), 0));
  return {
    feature: path.cut.id, kind: path.cut.kind, look, closed: path.closed, away: path.away, length: path.length, width, ...(look === "step" && !gap ? { unexpected: true } : {}),
    chunks: path.chunks.map((chunk, k) => {
      const l = located[k];
      const found = l !== null && l.significance > SURE && (sign === 0 || Math.sign(shareOf(l)) === sign);
      return { chunk, found, t: l?.t ?? 0, sigma: l?.sigma ?? 0, bias: 0, significance: l?.significance ?? 0, share: l ? shareOf(l) : 0 };
    }),
  };
}
