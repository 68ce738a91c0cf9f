import { isSlit } from "../evidence/evidence.ts";
import { medianOf } from "../../statistics/median.ts";
import { isDash, isPlain } from "./departures.ts";
import { isMissing } from "./missing.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** So many chunks of a short slit, and this share of those that are seen at all, must show it where it lies. */
const FEWEST = 3;
const MOST = 0.75;
/** How plainly (amplitude over its uncertainty), and how much alike, mm. */
const PLAINLY = 12;
const ALIKE = 0.1;
/** Of what is looked at in its place this share must show none. */
const GONE = 0.6;

/** Whether a path is seen as the slit of a dash, or as a slot. */
export function isShortSlit(path: TracedPath): boolean {
  return isSlit(path) && isDash(path);
}

/**
 * Whether a short slit lies beside its place as a whole. It is as dark as the slits of the sheet are, alike all along, and in its place
 * none shows that would be seen there; a line of the print beside a slit leaves that where it is.
 *
 * @param places where each chunk's slit is expected, mm.
 * @param usual darkness of the sheet's slits, a share of the ground's light.
 */
export function liesElsewhere(path: TracedPath, places: readonly (number | null)[], grid: StripGrid, usual: number): boolean {
  const looked = path.chunks.flatMap((c, k) => {
    const at = places[k];
    return c.chunk.stations > 0 && at !== null ? [{ c, at }] : [];
  });
  const plain = looked.filter(({ c, at }) => isPlain(c, usual, PLAINLY) && Math.abs(c.t - at) > path.width);
  if (plain.length < Math.max(FEWEST, MOST * looked.length)) return false;
  const off = plain.map(({ c, at }) => c.t - at);
  const middle = medianOf(off);
  if (off.some((d) => Math.abs(d - middle) > ALIKE)) return false;
  return looked.filter(({ c, at }) => isMissing(c.chunk, grid, at, usual, path.width)).length >= GONE * looked.length;
}
