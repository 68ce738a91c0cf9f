import { density, integral } from "../image/normal.ts";
import { fading } from "./blurred.ts";
import { COMMON, HEIGHT, MOST_SHIFT, PLACE, placeBy, type ProfileModel, type ProfilePlace } from "./profileModel.ts";

/** Reaches (sigma, mm) of the shade at an edge's foot, where the board keeps light from what it lies on, and how much of the light there it takes (standard deviation; common practice, no source). */
const SHADES = [0.12, 0.22, 0.4, 0.75];
const SHADE = 0.1;
/** An edge of board is ragged: it is tried as wide as the blur and so many times as wide. */
const RAGGED = [1, 1.15, 1.35];
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
 */
export function placeEdge(profile: Float64Array, step: number, noise: number, blur: number, beyond: number): ProfilePlace | null {
  return placeBy(RAGGED.map((times) => edgeOf(times * blur, SHADE * beyond)), [{ profile, noise }], step, LOWEST);
}

function edgeOf(width: number, shade: number): ProfileModel {
  const priors = new Float64Array(COMMON + SHADES.length + 2).fill(shade);
  priors.set([ANYTHING, MOST_SHIFT]);
  priors.fill(ANYTHING, COMMON + SHADES.length);
  return {
    priors, own: 2,
    columnsAt(t, row) {
      row[HEIGHT] = integral(t / width);
      row[PLACE] = -density(t / width) / width;
      SHADES.forEach((spread, k) => (row[COMMON + k] = -fading(t, spread, width)));
      row[COMMON + SHADES.length] = 1;
      row[COMMON + SHADES.length + 1] = t;
    },
  };
}
