import { SmallSystem } from "../geometry/smallSystem.ts";
import { integral } from "../image/normal.ts";
import { DIRECTIONS, directionOf } from "./directions.ts";
import { medianOf } from "../statistics/median.ts";
import type { Chunk, StripGrid } from "./strip.ts";
import type { TracedChunk, TracedPath } from "./trace.ts";

/** The light is looked at from so far inside of the edge that was found to so far outside, mm. */
const INSIDE = 3.2;
const OUTSIDE = 1.2;
/** Where the face may end, mm inside of that edge, and where the band's own end may lie about it; steps of the search, mm. */
const FACE_ENDS = [-2.6, -0.3] as const;
const BAND_ENDS = [-0.3, 0.5] as const;
const STEP = 0.1;
/** Two steps must leave so much less over than one, as a share. */
const EXPLAINS = 0.35;
/** A shadow leaves so much of the table's light, alike of red and of green to within this share (common practice, no source). Blue, little of the light, is lost first in a JPEG's halved colours. */
const LIGHT = [0.1, 0.65] as const;
const ALIKE = 0.2;
/** A direction is told by so many chunks. */
const FEWEST = 6;
/** The light that throws a shadow on one side throws one on those that face up to so many directions (an eighth of a turn) away from it, and none on those farther away than a right angle. */
const BESIDE = 2;
const ACROSS = 4;

/**
 * The directions (see directions.ts) in which what was found of a stripped piece's outline is the end of its shadow on a table that is lighter than that, while the face is darker still: two steps up in a row, with a band
 * between them that has the table's colour, only darker. Bare board beside print has a colour of its own, or is nearly as light as the table. With them their chunks as the table would show them without that end, and those
 * directions in which the same light may throw a narrower shadow that is not told.
 */
export function endsOfBands({ chunks, away, width }: Pick<TracedPath, "chunks" | "away" | "width">, grid: StripGrid): ReadonlyMap<number, readonly Chunk[]> {
  const seen = chunks.filter((c) => c.found && c.chunk.colours);
  const bands = [...new Set(seen.map(({ chunk }) => directionOf(chunk)))].flatMap((direction) => {
    const some = seen.filter(({ chunk }) => directionOf(chunk) === direction);
    const band = some.length < FEWEST ? null : bandIn(meanLight(some, away, grid), width, grid);
    return band ? [{ direction, some, band }] : [];
  });
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
  return shadowed;
}

/** How many directions lie between two. */
function apart(a: number, b: number): number {
  const d = Math.abs(a - b);
  return Math.min(d, DIRECTIONS - d);
}

/** Mean red, green and blue light about the edges found, from inside outwards. */
function meanLight(chunks: readonly TracedChunk[], away: number, grid: StripGrid): Float64Array[] {
  const half = Math.round(INSIDE / grid.step);
  const sums = [0, 1, 2].map(() => new Float64Array(2 * half + 1));
  let used = 0;
  for (const { chunk, t } of chunks) {
    const planes = chunk.colours?.(t, half, grid.step);
    if (!planes || planes.some((plane) => plane.some(Number.isNaN))) continue;
    planes.forEach((plane, k) => plane.forEach((v, i) => void (sums[k][away < 0 ? 2 * half - i : i] += v)));
    used++;
  }
  return used < FEWEST ? [] : sums.map((sum) => sum.map((v) => v / used).subarray(0, half + Math.round(OUTSIDE / grid.step) + 1));
}

/** Where face and band end, mm outwards from the edge found, and what they leave over of the profile, as a share of what an edge alone does. */
interface Band {
  readonly ends: readonly number[];
  readonly left: number;
}

/** The band of a shadow between face and table; null where there is none. */
function bandIn(light: readonly Float64Array[], width: number, grid: StripGrid): Band | null {
  if (light.length === 0) return null;
  const at = Float64Array.from(light[0], (_, i) => i * grid.step - INSIDE);
  const best = (tried: readonly (readonly number[])[]): { ends: readonly number[]; fits: Steps[]; left: number } | null => tried.reduce<ReturnType<typeof best>>((found, ends) => {
    const fits = light.flatMap((values) => steps(at, values, ends, width) ?? []);
    const left = fits.reduce((sum, f) => sum + f.left, 0);
    return fits.length === light.length && (!found || left < found.left) ? { ends, fits, left } : found;
  }, null);
  const one = best(between(BAND_ENDS).map((end) => [end]));
  const two = best(between(FACE_ENDS).flatMap((face) => between(BAND_ENDS).map((end) => [face, end])));
  if (!one || !two || two.left > EXPLAINS * one.left || two.fits.some(({ levels: [face, band] }) => face > band)) return null;
  const [red, green] = two.fits.map(({ levels: [, band, table] }) => band / table);
  const share = (red + green) / 2;
  return share > LIGHT[0] && share < LIGHT[1] && Math.abs(red - green) < ALIKE * share ? { ends: two.ends, left: two.left / one.left } : null;
}

/** The chunks with the step at their shadow's end taken out of their profiles: its height is that of all of them together. */
function withoutEnd(chunks: readonly TracedChunk[], { ends }: Band, away: number, width: number, grid: StripGrid): Chunk[] {
  const half = Math.round(INSIDE / grid.step);
  const count = half + Math.round(OUTSIDE / grid.step) + 1;
  const at = Float64Array.from({ length: count }, (_, i) => i * grid.step - INSIDE);
  const middle = (t: number): number => Math.round((t + grid.reach) / grid.step);
  const values = at.map((_, i) => medianOf(chunks.map(({ chunk, t }) => chunk.profile[middle(t) + away * (i - half)]).filter((v) => v !== undefined && !Number.isNaN(v))));
  const fit = steps(at, values, ends, width);
  if (!fit) return [];
  const height = fit.levels[2] - fit.levels[1];
  return chunks.map(({ chunk, t }) => ({ ...chunk, profile: chunk.profile.map((v, i) => v - height * integral((away * (i * grid.step - grid.reach - t) - ends[1]) / width)) }));
}

function between([from, to]: readonly [number, number]): number[] {
  return Array.from({ length: Math.round((to - from) / STEP) + 1 }, (_, i) => from + i * STEP);
}

/** Steps of light fitted to a profile: the levels from the innermost on, and the sum of squares left over. */
interface Steps {
  readonly levels: readonly number[];
  readonly left: number;
}

const systems = [2, 3].map((terms) => new SmallSystem(terms));

/** The levels between blurred steps that lie at `ends`, mm; null where they are not determined. */
function steps(at: Float64Array, values: Float64Array, ends: readonly number[], width: number): Steps | null {
  const system = systems[ends.length - 1];
  const { matrix, right, terms } = system;
  matrix.fill(0);
  right.fill(0);
  const row = new Float64Array(terms);
  let whole = 0;
  for (let i = 0; i < at.length; i++) {
    row[0] = 1;
    for (let k = 0; k < ends.length; k++) row[k + 1] = integral((at[i] - ends[k]) / width);
    for (let a = 0; a < terms; a++) {
      right[a] += row[a] * values[i];
      for (let b = 0; b <= a; b++) matrix[terms * a + b] += row[a] * row[b];
    }
    whole += values[i] ** 2;
  }
  if (!system.solve()) return null;
  let level = 0;
  return { levels: Array.from(system.solution, (height) => (level += height)), left: Math.max(0, whole - system.explained()) };
}
