import type { PrintPoint } from "../geometry/frames.ts";
import type { Cut, Job } from "../job/schema.ts";
import { chain } from "./chain.ts";
import { bestRun, evidenceOf, profileOf, type CutLook, type Evidence } from "./evidence.ts";
import { footBias } from "./foot.ts";
import { groundAbout, lipBias, shiftFor, type LipBias, type SeenSlit } from "./lip.ts";
import { lipsTogether } from "./lipsTogether.ts";
import { isUsual, locate, profileWidth, shareOf, type Located } from "./locate.ts";
import { medianOf } from "../statistics/median.ts";
import { profileHalf } from "./slitProfile.ts";
import { awayOf } from "./sides.ts";
import { predictedOffset, registerCoarsely, type CoarseShift, type Witness } from "./register.ts";
import type { Chunk, StripGrid } from "./strip.ts";
import type { Strip, Strips } from "./strips.ts";

/** A chunk of a feature with the cut located across it; `found` is false where it was not, or not surely. */
export interface TracedChunk {
  readonly chunk: Chunk;
  readonly found: boolean;
  /** Distance from the nominal path along the normal, mm, under the view that the strip was sampled with. */
  readonly t: number;
  readonly sigma: number;
  /** What t holds for the lip and the bend of the edge: the symmetric profile lies at t - bias. */
  readonly bias: number;
  /** Amplitude over its own standard uncertainty. */
  readonly significance: number;
  /** Amplitude over the ground's light. */
  readonly share: number;
  /** True where the knife has left its path beyond doubt (see relocate.ts). */
  readonly left?: boolean;
  /** Standard uncertainty that an edge of the print beside it leaves to its place, mm, with the sign of the side that is lighter; absent where none runs there (see besideEdge.ts). */
  readonly beside?: number;
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
  /** Standard uncertainty that its lip leaves to a line, and the shade at its foot to an edge, mm (common to all its chunks of a direction). */
  readonly lip: number;
  /** Sigma of the profile across, mm: blur and the slit's own width. */
  readonly width: number;
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

/** Where a board's back lies from its face as seen at a place of the sheet, mm; null for a flat scan. */
export type Askew = ((place: PrintPoint) => { readonly x: number; readonly y: number }) | null;

/**
 * Locates the cut across every strip, chunk by chunk.
 *
 * @param own light of the slits themselves, linear, where the light is as in the sheet's middle: print that is darker shows them as bright lines (0: none is; see slitLight.ts).
 */
export function traceCuts(strips: Strips, job: Job, askew: Askew, own = 0): Trace {
  const { grid, blur } = strips;
  const paths = strips.paths.map((strip): StripSeen => {
    const chunks = own > 0 && strip.kind === "cut" ? strip.chunks.map((c) => ({ ...c, own: own * (c.light ?? 1) })) : strip.chunks;
    return { ...strip, chunks, away: 0, look: "line", witnesses: [] };
  });
  for (const path of paths) path.look = chooseLook(path, job, grid, blur);
  for (const path of paths) path.away = awayOf(path, paths, path.look === "step" && job.state === "in-sheet");
  for (const path of paths) if (path.look === "step") path.chunks = path.chunks.map((c) => ({ ...c, wall: wallSeen(c, askew, path.away) }));
  const witnesses = paths.flatMap((path) => (path.cut.kind === "cut" ? path.witnesses : []));
  const shift = registerCoarsely(witnesses, grid);
  return { paths: unbiased(paths.map((path) => locatePath(path, isGap(path, job), shift, grid, blur)), grid, blur, null), grid, blur, shift };
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

/**
 * Takes out of every chunk what a symmetric profile does not know, by direction (sixteenths of a turn on the sheet, whose sides mostly lie in the middle of one; the light is one for
 * all). A lip draws a line to its shade, the more the darker the ground is; the shade at its foot an edge outwards. Blur draws a bent edge or line to the inside of its bend, by
 * sigma^2/(2 R) for a radius R large against sigma.
 *
 * @param expected where all cuts together expect each path's chunks; null where that is not known yet: then colours are not looked at either, which takes a while.
 */
export function unbiased(paths: readonly TracedPath[], grid: StripGrid, blur: number, expected: readonly (readonly (number | null)[])[] | null): TracedPath[] {
  const half = profileHalf(blur, grid.step);
  const bare = bareLight(paths, grid, half);
  const slit = ({ chunk, t }: TracedChunk, path: number, k: number): SeenSlit => ({ chunk, t, expected: expected?.[path][k] ?? t, inColour: expected !== null });
  const lips = lipsTogether(byDirection(paths, isSlit, slit).map((slits) => lipBias(slits, grid, blur, bare)));
  const feet = ([1, -1] as const).map((away) => byDirection(paths, (path) => path.look === "step" && path.away === away, (c) => c).map((chunks) => footBias(chunks, away, grid, blur)));
  const bend = (c: Chunk): number => 0.5 * blur * blur * Math.max(-MOST_BEND / blur, Math.min(MOST_BEND / blur, c.curvature));
  return paths.map((path) => {
    const drawn = isSlit(path) ? lips : path.look === "step" && path.away !== 0 ? feet[path.away > 0 ? 0 : 1] : null;
    const of = (c: Chunk): LipBias => (drawn && !c.wall ? drawn[directionOf(c)] : { shift: 0, sigma: 0 });
    const along = alongEdges(path);
    return {
      ...path, lip: Math.sqrt(path.chunks.reduce((sum, c) => sum + of(c.chunk).sigma ** 2 + along[directionOf(c.chunk)] ** 2, 0) / Math.max(1, path.chunks.length)),
      chunks: path.chunks.map((c) => {
        const lip = shiftFor(of(c.chunk), (bare * (c.chunk.light ?? 1)) / groundAbout(c.chunk, c.t, grid, half));
        const bias = bend(c.chunk) + lip;
        return { ...c, t: c.t + bias, bias, sigma: Math.hypot(c.sigma, LIP_VARIES * lip, c.beside ?? 0) };
      }),
    };
  });
}

/** Whether a path shows the dark of its slit. On black board a slit may be seen by its bared edges only, as a bright line: there is no dark beside which a lip could be told. */
function isSlit({ look, chunks }: TracedPath): boolean {
  return look === "line" && chunks.reduce((sum, c) => sum + (c.found ? Math.sign(c.share) : 0), 0) <= 0;
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

/** A lip is not alike all along a side: of what it draws a chunk aside so much may be otherwise, as a share (standard deviation; common practice, no source). */
const LIP_VARIES = 0.3;

/** Light of the bare board in the sheet's middle, as the lightest grounds beside the slits show it, linear light. */
function bareLight(paths: readonly TracedPath[], grid: StripGrid, half: number): number {
  const grounds = paths.flatMap((path) => (path.look === "line" ? path.chunks.filter((c) => c.found).map((c) => groundAbout(c.chunk, c.t, grid, half) / (c.chunk.light ?? 1)) : [])).filter((v) => v > 0).sort((a, b) => a - b);
  return grounds[Math.floor(0.95 * grounds.length)] ?? 1;
}

/** The chunks found of the paths that are asked for, as `pick` takes them, by direction; those with a wall or the print's edge beside them have it fitted instead, and where the knife has left its path what lies off is no lip's doing. */
function byDirection<T>(paths: readonly TracedPath[], asked: (path: TracedPath) => boolean, pick: (c: TracedChunk, path: number, k: number) => T): T[][] {
  const groups: T[][] = Array.from({ length: DIRECTIONS }, () => []);
  paths.forEach((path, i) => {
    if (asked(path)) path.chunks.forEach((c, k) => void (c.found && !c.left && !c.chunk.wall && c.beside === undefined && groups[directionOf(c.chunk)].push(pick(c, i, k))));
  });
  return groups;
}

/** Chunks are told by direction in so many parts of a turn. */
export const DIRECTIONS = 16;

/** In which of them a normal points. */
export function directionOf({ nx, ny }: { readonly nx: number; readonly ny: number }): number {
  return Math.round((Math.atan2(ny, nx) / (2 * Math.PI)) * DIRECTIONS) & (DIRECTIONS - 1);
}

/** Blur over radius beyond which the first-order correction for a bend is not trusted to grow. */
const MOST_BEND = 0.5;

/** A strip with what it is taken for. */
interface StripSeen extends Omit<Strip, "chunks"> {
  away: -1 | 0 | 1;
  chunks: readonly Chunk[];
  look: CutLook;
  witnesses: Witness[];
}

/**
 * A crease is a crease; a cut is a thin line where the pieces are still in the sheet, a step where a slug is lost or the piece has been stripped. Windows may have
 * been stripped too and an outline drawn open, so where the job leaves it open the picture decides: the look with the more convincing best run.
 */
function chooseLook(path: StripSeen, job: Job, grid: StripGrid, blur: number): CutLook {
  const profiles = path.chunks.map(profileOf);
  const weigh = (look: CutLook): { total: number; witnesses: Witness[] } => {
    // A slit is dark; only on dark board is its bright lip all there is to see.
    const signs = look === "line" ? ([-1, 1] as const) : look === "crease" ? ([0] as const) : ([-1, 1] as const);
    let best: { total: number; witnesses: Witness[] } = { total: -1, witnesses: [] };
    for (const sign of signs) {
      const witnesses = path.chunks.map((chunk, k) => ({ chunk, evidence: evidenceOf(profiles[k], grid, look, blur, sign, chunk.own) }));
      const total = bestRun(witnesses.map((w) => w.evidence), grid).mean * (look === "line" && sign === 1 ? 0.6 : 1);
      if (total > best.total) best = { total, witnesses };
    }
    return best;
  };
  const choose = (look: CutLook, w: { witnesses: Witness[] }): CutLook => {
    path.witnesses = w.witnesses;
    return look;
  };
  if (path.cut.kind === "crease") return choose("crease", weigh("crease"));
  const line = weigh("line");
  const step = weigh("step");
  const prior = "circle" in path.cut ? 2.5 : job.state === "stripped" ? (path.closed ? 2.5 : 1.2) : 0.12;
  return line.total > prior * step.total ? choose("line", line) : choose("step", step);
}

/** Whether an edge over a gap is what the job says of a path: a lost slug or a stripped outline. Elsewhere a step may be the artwork's. */
function isGap({ cut, look }: StripSeen, job: Job): boolean {
  return look === "step" && ("circle" in cut || job.state === "stripped");
}

function locatePath(path: StripSeen, gap: boolean, shift: CoarseShift, grid: StripGrid, blur: number): TracedPath {
  const evidence: Evidence[] = path.witnesses.map((w) => w.evidence);
  const expected = path.chunks.map((c) => predictedOffset(shift, c));
  const chained = chain(evidence, expected, grid, path.closed);
  const places = chained.map((i) => i * grid.step - grid.reach);
  const width = profileWidth(path.chunks, places, grid, path.look, blur);
  const first = path.chunks.map((chunk, k) => (chunk.stations > 0 && evidence[k].some((v) => v > 0) ? locate(chunk, grid, path.look, places[k], width) : null));
  const usual = medianOf(first.flatMap((l) => (l && l.significance > SURE ? [shareOf(l)] : [])));
  // A slit is as dark as its path's others; what lies beyond a step differs along it.
  const isPlain = (l: Located | null): boolean => l !== null && l.significance > SURE && (path.look === "line" ? isUsual(shareOf(l), usual) : shareOf(l) * usual > 0);
  const located = path.look !== "line" && !gap ? first : first.map((l, k) => {
    if (path.chunks[k].stations === 0 || isPlain(l)) return l;
    const again = locate(path.chunks[k], grid, path.look, summit(evidence[k], chained[k], grid) * grid.step - grid.reach, width);
    return isPlain(again) ? again : l;
  });
  // All of a path takes light, or all of it gives light: a chunk that does the other is something else.
  const sign = Math.sign(located.reduce((s, l) => s + (l && l.significance > SURE ? Math.sign(shareOf(l)) : 0), 0));
  return {
    feature: path.cut.id, kind: path.cut.kind, look: path.look, closed: path.closed, away: path.away, length: path.length, lip: 0, width,
    chunks: path.chunks.map((chunk, k) => {
      const l = located[k];
      const found = l !== null && l.significance > SURE && (sign === 0 || Math.sign(shareOf(l)) === sign);
      return { chunk, found, t: l?.t ?? 0, sigma: l?.sigma ?? 0, bias: 0, significance: l?.significance ?? 0, share: l ? shareOf(l) : 0 };
    }),
  };
}

/** The chain takes all plain evidence for alike, and so may run past a plain slit by this, mm. */
const RUNS_PAST = 0.3;

/** Where the evidence uphill from the chain's place is highest. */
function summit(evidence: Evidence, from: number, grid: StripGrid): number {
  let at = from;
  for (let steps = Math.round(RUNS_PAST / grid.step); steps > 0; steps--) {
    const way = (evidence[at + 1] ?? 0) > evidence[at] ? 1 : (evidence[at - 1] ?? 0) > evidence[at] ? -1 : 0;
    if (way === 0) break;
    at += way;
  }
  return at;
}
