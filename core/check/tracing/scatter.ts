import type { Expectation } from "../../cuts/relocate.ts";
import type { TracedPath } from "../../cuts/trace.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import type { Solution } from "../fit/solution.ts";

/** How far the pieces of the cuts lie from the map that they agree on: standard deviation (robust), mm; 0 where there are none. */
export function scatterOf({ data: { cuts, cutScale }, cutResiduals }: Solution): number {
  return robustSigma(cuts.map((c, i) => cutResiduals[i] * c.sigma * cutScale));
}

/**
 * A slit or an edge that is there is found to a fraction of its profile's width; where nothing is, or something that the profile does not know, the search ends anywhere within about that width.
 * Pieces that scatter by this share of it are mostly not the cut.
 */
const ANYWHERE = 1 / 3;
/** Raggedness that is left in the mean of a piece, of a dull blade too, mm (common practice, no source). */
const RAGGED = 0.04;

/**
 * What scatters by this share of that is the cut all the same where at least MOSTLY of it is found, or where it stands out plainly, and by as much less as less of it is found: 0.56 to 0.74 on faint slits that were measured to within U, 0.85 to 1.8 on what was something else
 * (pictures with known truth, of the project's own and of others).
 */
const FAINT = 0.8;
const MOSTLY = 0.6;

/**
 * Whether most of what was found along the cuts' paths is something else: it scatters too much about where all of it is `expected` for a cut. Where only a part is found at all, the search has
 * had its choice, and what it chose must scatter by as much less, unless the slits stand out `plainly` (see presence.ts).
 */
export function isScattered(paths: readonly TracedPath[], expected: Expectation, plainly: boolean): boolean {
  const seen = paths.filter((path) => path.kind === "cut").flatMap((path) => path.chunks.filter(({ chunk }) => chunk.stations > 0).map((c) => ({ ...c, path })));
  const shares = seen.flatMap(({ chunk, found, t, path }) => {
    const at = found ? expected(chunk, path) : null;
    return at === null ? [] : [(t - at) / Math.max(RAGGED, ANYWHERE * path.width)];
  });
  const found = shares.length / seen.length;
  return shares.length > 0 && robustSigma(shares) > Math.max(found, FAINT * (plainly ? 1 : Math.min(1, found / MOSTLY)));
}
