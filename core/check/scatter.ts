import type { TracedPath } from "../cuts/trace.ts";
import { medianOf } from "../statistics/median.ts";
import type { Solution } from "./solve.ts";

/** How far the pieces of the cuts lie from the map that they agree on: standard deviation (robust), mm; 0 where there are none. */
export function scatterOf({ data: { cuts, cutScale }, cutResiduals }: Solution): number {
  return cuts.length === 0 ? 0 : 1.4826 * medianOf(cuts.map((c, i) => Math.abs(cutResiduals[i]) * c.sigma * cutScale));
}

/**
 * A slit or an edge that is there is found to a fraction of its profile's width; where nothing is, or something that the profile does not know, the search ends anywhere within about that width.
 * Pieces that scatter by this share of it are mostly not the cut.
 */
const ANYWHERE = 1 / 3;
/** No blade, however dull, makes its cut scatter by more than this, mm (common practice, no source). */
const RAGGED = 0.05;

/** Whether most of what was found along the cuts' paths is something else: it scatters too much for a cut. */
export function isScattered(solution: Solution, paths: readonly TracedPath[]): boolean {
  const widths = paths.filter((path) => path.kind === "cut").flatMap((path) => path.chunks.filter((c) => c.found).map(() => path.width));
  return widths.length > 0 && scatterOf(solution) > Math.max(RAGGED, ANYWHERE * medianOf(widths));
}
