import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk } from "../trace.ts";

/** Edges that are seen all about: fewer tell no mean. */
const FEWEST = 6;

/** Mean red, green and blue light about edges, `half` steps of the grid to either side of where they were found, from the inside outwards; null where too few are seen. */
export function meanColours(edges: readonly Pick<TracedChunk, "chunk" | "t">[], away: number, half: number, grid: StripGrid): Float64Array[] | null {
  const seen = edges.flatMap(({ chunk, t }) => {
    const planes = chunk.colours?.(t, half, grid.step);
    return planes && !planes.some((plane) => plane.some(Number.isNaN)) ? [planes] : [];
  });
  if (seen.length < FEWEST) return null;
  return [0, 1, 2].map((k) => Float64Array.from({ length: 2 * half + 1 }, (_, i) => seen.reduce((sum, planes) => sum + planes[k][away < 0 ? 2 * half - i : i], 0) / seen.length));
}
