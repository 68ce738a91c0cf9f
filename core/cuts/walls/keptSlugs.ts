import { isUsual, locate } from "../locate.ts";
import { medianOf } from "../../statistics/median.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** Share of a hole's chunks that must look alike: the shadow in a lost slug is as dark on one of its sides at most. */
const ALL_ROUND = 0.75;
/** A slit is so many times as dark as the sheet's others at most, and no fainter than that: a hole lies over one tone of print, they over many (common practice, no source). */
const DARKER = 3;
/** A slit leaves less than this share of what an edge leaves of the light, where it is one. */
const PLAINLY = 0.5;

/**
 * Whether a witness hole's slug has stayed in its place: then a slit runs all round it, alike on all sides, and says more of what is seen than the edge of a gap does.
 *
 * @param asEdge the hole traced as an edge over a gap, `asSlit` as a slit.
 * @param usual share of the ground's light that the sheet's slits take, with its sign.
 */
export function isKeptSlug(asEdge: TracedPath, asSlit: TracedPath, usual: number, grid: StripGrid): boolean {
  const seen = asSlit.chunks.filter((c) => c.chunk.stations > 0);
  const own = medianOf(seen.map((c) => c.share));
  const alike = seen.filter((c) => c.found && isUsual(c.share, own));
  return own / usual < DARKER && own / usual > 1 / DARKER && alike.length >= ALL_ROUND * seen.length && leftBy(asSlit, grid) < PLAINLY * leftBy(asEdge, grid);
}

/** What a path's profiles leave of the light on the median, linear light squared; where nothing was found that is all. */
function leftBy({ chunks, look, width }: TracedPath, grid: StripGrid): number {
  return medianOf(chunks.map(({ chunk, found, t }) => (found ? locate(chunk, grid, look, t, width)?.scatter : undefined) ?? Infinity));
}
