import { integral } from "../../image/normal.ts";
import { fading } from "../profile/blurred.ts";
import { byDirection, DIRECTIONS } from "../directions.ts";
import { columnFit } from "../profile/profileFit.ts";
import { meanColours } from "./meanColours.ts";
import { medianOf } from "../../statistics/median.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** The light is looked at from so far inside of the edge that was found to so far outside, mm. */
const INSIDE = 3.2;
const OUTSIDE = 1.2;
/** Where the face may end, mm inside of that edge, and where the band's own end may lie about it; steps of the search, mm. */
const FACE_ENDS = [-2.6, -0.3] as const;
const BAND_ENDS = [-0.3, 0.5] as const;
const STEP = 0.1;
/** The soft shade at its foot that every board throws fades away over so much (sigma, mm). */
const SHADES = [0.5, 1.5];
/** A shadow has an end: two steps must leave so much less over than one with such a shade, as a share. */
const EXPLAINS = 0.35;
/** A shadow leaves so much of the table's light, alike of red and of green to within this share (common practice, no source). Blue, little of the light, is lost first in a JPEG's halved colours. */
const LIGHT = [0.1, 0.65] as const;
const ALIKE = 0.3;
/** Ends nearer to each other than so many widths of the profile are one edge that is broader than the others. */
const APART = 1.5;
/** A direction is told by so many chunks. */
const FEWEST = 6;
/** The light that throws a shadow on one side throws one on those that face up to so many directions (an eighth of a turn) away from it, and none on those farther away than a right angle. */
const BESIDE = 2;
const ACROSS = 4;

/**
 * The directions (see directions.ts) in which what was found of a stripped piece's outline is the end of its shadow on a table that is lighter than that, while the face is darker still: two steps up in a row, with a band
 * between them that has the table's colour, only darker; or some place in a soft shadow, which gets lighter all the way from the face's end on. Bare board beside print has a colour of its own, or is nearly as light as the table. With them their chunks as the table would show them without that end or softness, and those
 * directions in which the same light may throw a narrower shadow that is not told.
 */
export function endsOfBands({ chunks, away, width }: Pick<TracedPath, "chunks" | "away" | "width">, grid: StripGrid): Bands {
  const sides = byDirection(chunks.filter((c) => c.found && c.chunk.colours)).flatMap((some, direction) => {
    const fits = some.length < FEWEST ? null : fitSteps(meanLight(some, away, grid), width, grid);
    if (!fits) return [];
    const dark = isDarkBand(fits);
    return [{ direction, some, dark, band: dark ? null : bandIn(fits, width) }];
  });
  const bands = sides.flatMap(({ direction, some, band }) => (band ? [{ direction, some, band }] : []));
  const shadowed = new Map<number, readonly Chunk[]>();
  for (const { direction, some, band } of bands.sort((a, b) => a.band.left - b.band.left)) {
    if ([...shadowed.keys()].every((other) => apart(direction, other) <= ACROSS)) shadowed.set(direction, withoutEnd(some, band, away, width, grid));
  }
  const told = [...shadowed.keys()];
  for (const direction of told) {
    for (let k = -BESIDE; k <= BESIDE; k++) {
      const beside = (direction + k + DIRECTIONS) % DIRECTIONS;
      if (!shadowed.has(beside)) shadowed.set(beside, []);
    }
  }
  return { shadowed, hidden: hiddenAmong(sides) };
}

/** A dark band along so much of the outline is the piece's own print. */
const ALL_ROUND = 0.75;

/** The directions of the sides with a dark band beside them; none where most of the outline has one. */
function hiddenAmong(sides: readonly { readonly direction: number; readonly some: readonly TracedChunk[]; readonly dark: boolean }[]): ReadonlySet<number> {
  const dark = sides.filter((side) => side.dark);
  const chunks = (all: typeof sides): number => all.reduce((sum, side) => sum + side.some.length, 0);
  return new Set(chunks(dark) > ALL_ROUND * chunks(sides) ? [] : dark.map((side) => side.direction));
}

/** How many directions lie between two. */
function apart(a: number, b: number): number {
  const d = Math.abs(a - b);
  return Math.min(d, DIRECTIONS - d);
}

/** Samples to the inside of an edge. */
function samplesInside(grid: StripGrid): number {
  return Math.round(INSIDE / grid.step);
}

/** Distances outwards from an edge at which the light about it is looked at, mm. */
function distances(grid: StripGrid): number[] {
  return Array.from({ length: samplesInside(grid) + Math.round(OUTSIDE / grid.step) + 1 }, (_, i) => i * grid.step - INSIDE);
}

/** Mean red, green and blue light at those distances about the edges found; none where too few are seen. */
function meanLight(chunks: readonly TracedChunk[], away: number, grid: StripGrid): number[][] {
  const length = distances(grid).length;
  return (meanColours(chunks, away, samplesInside(grid), grid) ?? []).map((plane) => [...plane.subarray(0, length)]);
}

/** What is seen beside the edges of a stripped piece. */
export interface Bands {
  /** By direction, the chunks that look at a side without the end of its shadow; none for one that may have a narrower shadow. */
  readonly shadowed: ReadonlyMap<number, readonly Chunk[]>;
  /** Directions in which something darker than both face and table hides where the face ends. */
  readonly hidden: ReadonlySet<number>;
}

/** Where face and band end, mm outwards from the edge found (a soft one's end shows nowhere), and what they leave over of the profile, as a share of what an edge alone does. */
interface Band {
  readonly ends: readonly [face: number] | readonly [face: number, band: number];
  readonly left: number;
}

/** Steps of light fitted to each plane of a profile: the levels from the innermost on, and the sum of squares that all leave. */
interface Steps<Ends extends readonly number[]> {
  readonly ends: Ends;
  readonly levels: readonly (readonly number[])[];
  /** How much light the shades add beyond the last of them, where it is most. */
  readonly shades: readonly (readonly number[])[];
  readonly left: number;
}

/** What may be seen about an edge: a face that ends in a soft shade, one where the edge was found, and one with a band beside it. */
interface StepFits {
  readonly soft: Steps<readonly [number]>;
  readonly edge: Steps<readonly [number]>;
  readonly hard: Steps<readonly [number, number]>;
}

function fitSteps(light: readonly (readonly number[])[], width: number, grid: StripGrid): StepFits | null {
  if (light.length === 0) return null;
  const at = distances(grid);
  const [faces, edges] = [between(FACE_ENDS), between(BAND_ENDS)];
  const [soft, edge] = [faces, edges].map((ends) => bestSteps(at, light, ends.map((end) => [end] as const), width, SHADES));
  const hard = bestSteps(at, light, faces.flatMap((face) => edges.map((end) => [face, end] as const)), width);
  return soft && edge && hard && { soft, edge, hard };
}

/** The band of a shadow between face and table; null where there is none. */
function bandIn({ soft, edge, hard }: StepFits, width: number): Band | null {
  const apart = (from: number, to: number): boolean => to - from > APART * width;
  const one = Math.min(soft.left, edge.left);
  if (hard.left < EXPLAINS * one && apart(...hard.ends) && isShadow(hard.levels)) return { ends: hard.ends, left: hard.left / one };
  return soft.left < EXPLAINS * edge.left && apart(soft.ends[0], 0) && isShadow(shadeOf(soft)) ? { ends: soft.ends, left: soft.left / edge.left } : null;
}

/** Face, table where the shade is deepest, and table, by plane. */
function shadeOf({ levels, shades }: StepFits["soft"]): number[][] {
  return levels.map(([face, table], k) => [face, table + shades[k].reduce((sum, v) => sum + v, 0), table]);
}

/** Where a band that is darker than the face too leaves no more than this over of what an edge alone does, it hides where the face ends: shadow, wall or both, be it ever so narrow; a JPEG's halved colours leave 0.5 and more. */
const HIDES = 0.25;

function isDarkBand({ edge, hard }: StepFits): boolean {
  return hard.left < HIDES * edge.left && hard.levels.every(([, band, table]) => band < LIGHT[1] * table) && hard.levels.some(([face, band]) => band < face);
}

/** Whether the levels of face, band and table in red, green and blue are those of a shadow on the table beside a darker face. */
function isShadow(levels: readonly (readonly number[])[]): boolean {
  const [red, green] = levels.map(([, band, table]) => band / table);
  const share = (red + green) / 2;
  return levels.every(([face, band]) => face <= band) && share > LIGHT[0] && share < LIGHT[1] && Math.abs(red - green) < ALIKE * share;
}

/** The chunks with the step at their shadow's end, or its softness, taken out of their profiles: its height is that of all of them together. */
function withoutEnd(chunks: readonly TracedChunk[], { ends }: Band, away: number, width: number, grid: StripGrid): Chunk[] {
  const at = distances(grid);
  const middle = (t: number): number => Math.round((t + grid.reach) / grid.step);
  const values = at.map((_, i) => medianOf(chunks.map(({ chunk, t }) => chunk.profile[middle(t) + away * (i - samplesInside(grid))]).filter((v) => v !== undefined && !Number.isNaN(v))));
  const [face, end] = ends;
  const fit = bestSteps(at, [values], [ends], width, end === undefined ? SHADES : []);
  if (!fit) return [];
  const { levels: [[, band, table]], shades: [shades] } = fit;
  const without = (t: number): number => (end === undefined ? shades.reduce((sum, v, k) => sum + v * fading(t - face, SHADES[k], width), 0) : (table - band) * integral((t - end) / width));
  return chunks.map(({ chunk, t }) => ({ ...chunk, profile: chunk.profile.map((v, i) => v - without(away * (i * grid.step - grid.reach - t))) }));
}

function between([from, to]: readonly [number, number]): number[] {
  return Array.from({ length: Math.round((to - from) / STEP) + 1 }, (_, i) => from + i * STEP);
}

/** The blurred steps, of those whose ends are tried, that leave least of all planes, with shades beyond the last of them that fade away over the given distances; null where none is determined. */
function bestSteps<Ends extends readonly number[]>(at: readonly number[], planes: readonly (readonly number[])[], tried: readonly Ends[], width: number, fadings: readonly number[] = []): Steps<Ends> | null {
  const ground = at.map(() => 1);
  let best: Steps<Ends> | null = null;
  for (const ends of tried) {
    const steps = [ground, ...ends.map((end) => at.map((t) => integral((t - end) / width)))];
    const columns = [...steps, ...fadings.map((spread) => at.map((t) => fading(t - ends[ends.length - 1], spread, width)))];
    const fits = planes.flatMap((values) => columnFit(values, columns) ?? []);
    const left = fits.reduce((sum, fit) => sum + fit.squares, 0);
    if (fits.length === planes.length && (!best || left < best.left)) best = { ends, levels: fits.map((fit) => runningSums(fit.x.slice(0, steps.length))), shades: fits.map((fit) => fit.x.slice(steps.length)), left };
  }
  return best;
}

function runningSums(heights: readonly number[]): number[] {
  let level = 0;
  return heights.map((height) => (level += height));
}
