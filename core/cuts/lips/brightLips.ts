import { medianOf } from "../../statistics/median.ts";
import { aboveEnds, FEWEST, poolRows, pooledBlur, rowAbout, TELLS_NOTHING } from "../profile/pool.ts";
import type { ProfilePlace } from "../profile/profileModel.ts";
import { profileHalf } from "../profile/slitProfile.ts";
import { placeTwin } from "../profile/twinProfile.ts";
import type { StripGrid } from "../strips/strip.ts";
import { placeAgain, type LipBias, type Seen } from "./lip.ts";

/**
 * The bias of a symmetric fit for the chunks of one direction where slits are seen by their bared rims, as bright lines on black board: the rim that faces the light is the brighter one, and draws the line to itself. As for the lips of
 * dark slits, all are laid on each other. `blur`: of the picture, mm along the normal. Null where the chunks are too few to tell.
 */
export function brightLipBias(slits: readonly Seen[], grid: StripGrid, blur: number): LipBias | null {
  if (slits.length < FEWEST) return null;
  const place = placeAgain((off) => placeTogether(slits, off, grid, blur));
  if (!place || !(place.sigma < TELLS_NOTHING)) return null;
  return { shift: place.shift - medianOf(slits.map((s) => s.t - s.expected)), sigma: place.sigma };
}

/** Where the slits lie beside where they are expected, mm, from profiles about `off` mm beside it. */
function placeTogether(slits: readonly Seen[], off: number, grid: StripGrid, blur: number): ProfilePlace | null {
  const half = profileHalf(blur, grid.step);
  const pooled = poolRows(slits.flatMap(({ chunk, expected }) => {
    const row = rowAbout(chunk, expected + off, grid, half);
    // Under the light of the sheet's middle.
    return row ? [aboveEnds(row).map((v) => v / (chunk.light ?? 1))] : [];
  }));
  const place = pooled && placeTwin(pooled, grid.step, pooledBlur(slits, blur, grid.step));
  return place && { ...place, shift: off + place.shift };
}
