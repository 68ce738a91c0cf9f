import type { PlaneWeights } from "../../image/sampler.ts";
import { medianOf } from "../../statistics/median.ts";
import { directionOf } from "../directions.ts";
import { fitAt, locate } from "../locate.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** A mix of colour planes in which a shadow on the table does not show, only the piece (lighter) against the table, and the light of the bare board in it. */
export interface Hue {
  readonly mix: PlaneWeights;
  readonly bare: number;
}

/** So many chunks in a row of one direction are looked at together: in a JPEG's halved colour one alone is lost in its blocks. */
const TOGETHER = 6;
/** An edge found farther out than where the hue changes by more than this, mm, is the end of a shadow. */
const FARTHER = 0.15;
/** Starts of the search for the hue's edge, mm apart, to either side of where the edge was found. */
const STARTS = 0.3;
const SEARCHED = 2.1;
/** The hue's edge must be this significant. */
const PLAIN = 6;
/** What halved colour and its blocks leave to the place of a whole side's edge, mm (standard uncertainty; common practice, no source). */
export const BY_HUE = 0.05;
/** A JPEG halves its hues, and lenses lay colours beside each other: an edge sought in hues lies off by so many pixels (standard deviation; sides of pieces drawn by the project and by others lay off by 0.2 to 1.1 px where those sought in light did not). */
export const HUE_LEAVES = 0.5;

/**
 * The directions (see directions.ts) in which what was found of a stripped piece's outline is the end of its shadow, as the hue tells: in grey a shadowed table may be as light as the piece, so that its end is all that
 * is seen, but it keeps the table's hue. With them the chunks of those directions in the hue's mix, each with the mean of its neighbours, laid so that the hue's edges lie where they do on the lit sides.
 */
export function endsByHue({ chunks, away, width }: Pick<TracedPath, "chunks" | "away" | "width">, { mix, bare }: Hue, grid: StripGrid): ReadonlyMap<number, readonly Chunk[]> {
  const blocks = blocksOf(chunks).flatMap((block) => {
    const profile = meanProfile(block, mix, grid, 0);
    const found = block.filter((c) => c.found).map((c) => c.t);
    const at = profile && found.length > 0 ? hueEdge({ ...block[0].chunk, profile, wall: 0 }, grid, medianOf(found), -away, width) : null;
    return at === null ? [] : [{ block, direction: directionOf(block[0].chunk), off: away * (medianOf(found) - at) }];
  });
  const offAt = (direction: number): number => medianOf(blocks.filter((b) => b.direction === direction).map((b) => b.off));
  const ends = [...new Set(blocks.map((b) => b.direction))].filter((direction) => offAt(direction) > FARTHER);
  // Halved colour and contrast draw the hue's edge to the lighter side, alike on all sides.
  const lit = blocks.filter((b) => !ends.includes(b.direction)).map((b) => b.off);
  const shift = lit.length > 0 ? away * medianOf(lit) : 0;
  return new Map(ends.map((direction) => [direction, blocks.filter((b) => b.direction === direction).flatMap(({ block }) => inHue(block, meanProfile(block, mix, grid, -shift), bare))]));
}

/** The chunks of a block as the hue shows them all together. */
function inHue(block: readonly TracedChunk[], profile: Float32Array | null, bare: number): Chunk[] {
  return profile ? block.map(({ chunk }) => ({ ...chunk, profile, bare, shared: block.length })) : [];
}

/** Chunks in a row of one direction, TOGETHER at a time. */
function blocksOf(chunks: readonly TracedChunk[]): TracedChunk[][] {
  const blocks: TracedChunk[][] = [];
  for (const c of chunks) {
    if (c.chunk.stations === 0) continue;
    const last = blocks[blocks.length - 1];
    if (last && last.length < TOGETHER && directionOf(last[0].chunk) === directionOf(c.chunk)) last.push(c);
    else blocks.push([c]);
  }
  return blocks;
}

/** Their mean light in a mix of planes over the strip's whole width, its middle `about` mm along the normal. */
function meanProfile(block: readonly TracedChunk[], mix: PlaneWeights, grid: StripGrid, about: number): Float32Array | null {
  const sum = new Float32Array(grid.count);
  for (const { chunk } of block) {
    const planes = chunk.colours?.(about, grid.count >> 1, grid.step);
    if (!planes) return null;
    for (let i = 0; i < sum.length; i++) sum[i] += (mix[0] * planes[0][i] + mix[1] * planes[1][i] + mix[2] * planes[2][i]) / block.length;
  }
  return sum;
}

/** Where the highest step of the given sign lies, mm; null where none is plain. */
function hueEdge(chunk: Chunk, grid: StripGrid, about: number, sign: number, width: number): number | null {
  let start: number | null = null;
  let most = 0;
  for (let t = about - SEARCHED; t <= about + SEARCHED; t += STARTS) {
    const fit = fitAt(chunk, grid, "step", t, width);
    if (!fit || sign * fit.amplitude < most || fit.significance < PLAIN) continue;
    most = sign * fit.amplitude;
    start = t;
  }
  return start === null ? null : (locate(chunk, grid, "step", start, width)?.t ?? null);
}
