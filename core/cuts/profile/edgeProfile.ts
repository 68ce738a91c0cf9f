import { density, integral } from "../../image/normal.ts";
import { fading, slopeBeyond } from "./blurred.ts";
import { COMMON, HEIGHT, MOST_SHIFT, PLACE, type ProfileModel, type ProfilePlace } from "./profileModel.ts";
import { placeBy } from "./placeBy.ts";

/**
 * Reaches (sigma, mm) of the shade at an edge's foot, where the board keeps light from what it lies on, and how much of the light there it takes (standard deviation; common practice, no source). What
 * reaches farther is a slope of its own beyond the edge, of as much per mm.
 */
const SHADES = [0.12, 0.22, 0.4, 0.75];
const SHADE = 0.1;
/** An edge of board is ragged: it is tried as wide as the blur and so many times as wide. */
const RAGGED = [1, 1.15, 1.35];
/**
 * Where a cut runs beyond its bleed, white board shows between the print's edge and the board's: so far inside, mm, and by how much that may be off (standard deviation; the places tried lie twice as
 * far apart). Its step is a share of the board's (standard deviation). Less bleed than LEAST_BLEED, mm, nobody prints (common practice, no source).
 */
const PRINT_INSIDE = [0.2, 0.35, 0.5, 0.65];
const PRINT_OFF = 0.08;
const PRINT = 1;
const LEAST_BLEED = 0.8;
/** Ground, its slope per mm and the height of the step as shares of the step: anything. */
const ANYTHING = 3;
/** Lower than this share of the step that is seen it is not placed. */
const LOWEST = 0.1;

/**
 * Places the edge of a board's face over something darker or lighter than it, with a shade at its foot that blur melts into the step.
 *
 * @param profile from the face (0) to what lies beyond (1), at (i - half) * step mm outwards; of odd length.
 * @param noise standard deviation of a sample.
 * @param blur sigma of the picture's blur across, mm.
 * @param beyond light of what lies beyond over the step's height: the shade is a share of it.
 * @param outwards how far the cut lies outside of its nominal path, mm.
 */
export function placeEdge(profile: Float64Array, step: number, noise: number, blur: number, beyond: number, outwards = 0): ProfilePlace | null {
  const edges = (printInside: number | null): ProfileModel[] => RAGGED.map((times) => edgeOf(times * blur, SHADE * beyond, printInside));
  return placeBy(edges(null), [{ profile, noise }], step, LOWEST, () => PRINT_INSIDE.filter((inside) => inside < outwards - LEAST_BLEED).flatMap(edges));
}

/** Columns: the edge, the shades and the slope beyond it, the print's edge and its place where there is one, ground and slope. */
function edgeOf(width: number, shade: number, printInside: number | null): ProfileModel {
  const print = printInside === null ? [] : [PRINT, PRINT * PRINT_OFF];
  return {
    priors: Float64Array.from([ANYTHING, MOST_SHIFT, ...SHADES.map(() => shade), shade, ...print, ANYTHING, ANYTHING]), own: 2,
    columnsAt(t, row) {
      row[HEIGHT] = integral(t / width);
      row[PLACE] = -density(t / width) / width;
      SHADES.forEach((spread, k) => (row[COMMON + k] = -fading(t, spread, width)));
      let c = COMMON + SHADES.length;
      row[c++] = slopeBeyond(t, width);
      if (printInside !== null) {
        row[c++] = integral((t + printInside) / width);
        row[c++] = density((t + printInside) / width) / width;
      }
      row[c] = 1;
      row[c + 1] = t;
    },
  };
}
