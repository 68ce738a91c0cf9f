import { band, bandBlurred, bandMoved } from "./blurred.ts";
import { COMMON, HEIGHT, MOST_SHIFT, PLACE, type Profile, type ProfileModel, type ProfilePlace } from "./profileModel.ts";
import { placeBy } from "./placeBy.ts";

/** Widths of the groove between two bright rims, and of each rim, that are tried, mm (common practice, no source). */
const GROOVES = [0.08, 0.14, 0.2, 0.28, 0.38, 0.5];
const RIMS = [0.06, 0.1, 0.15, 0.22];
/** The rim that faces the light is brighter than the other, by so much of what both are (standard deviation; common practice, no source): in hard light one of them lies in the dark. */
const UNEQUAL = 0.5;
/** How far the groove lies below the ground, as a share of the line's height (standard deviation). */
const DEPTH = 0.15;
/** How far the blur may be off, as a share of its variance, rims are ragged by this, mm (standard deviations; common practice, no source). */
const RAGGED = 0.2;
const EDGE = 0.03;
/** The line's height, ground and slope per mm as shares of the height that is seen: anything. */
const ANYTHING = 3;
/** Lower than this share of the height that is seen there is no line. */
const LOWEST = 0.2;
/** What no model shows is not averaged out like noise: a share of the line's height. */
const LEAST_NOISE = 0.01;

/**
 * Places a slit that is seen by its bared rims, as on black board: two bright bands with the groove between them, which blur melts into one line. One of them is brighter by an unknown part, so that the line's middle is not the
 * groove's: where blur leaves the line lopsided that is told, else it stays in the uncertainty.
 *
 * @param profile over the ground's light, at (i - half) * step mm, of odd length.
 * @param noise standard deviation of a sample.
 * @param blur sigma of the picture's blur across, mm.
 */
export function placeTwin({ profile, noise }: Profile, step: number, blur: number): ProfilePlace | null {
  const height = profile.reduce((a, b) => Math.max(a, b));
  if (!(height > 0)) return null;
  const line = { profile: profile.map((v) => v / height), noise: Math.max(LEAST_NOISE, noise / height) };
  return placeBy(GROOVES.flatMap((groove) => RIMS.map((rim) => twinOf(groove, rim, Math.hypot(blur, EDGE)))), [line], step, LOWEST);
}

/** Columns, of a line one high: the rims, their place, the one against the other, the groove, more blur, ground and slope. */
function twinOf(groove: number, rim: number, blur: number): ProfileModel {
  const [inner, outer] = [groove / 2, groove / 2 + rim];
  const right = (t: number): number => band(t, inner, outer, blur);
  const most = [0, (inner + outer) / 2].reduce((high, t) => Math.max(high, right(t) + right(-t)), 0);
  const [moved, blurred] = [bandMoved, bandBlurred].map((change) => (t: number): number => change(t, inner, outer, blur));
  return {
    priors: Float64Array.from([ANYTHING, MOST_SHIFT, UNEQUAL, DEPTH, RAGGED, ANYTHING, ANYTHING]), own: 2,
    columnsAt(t, row) {
      row[HEIGHT] = (right(t) + right(-t)) / most;
      row[PLACE] = (moved(t) - moved(-t)) / most;
      row[COMMON] = (right(t) - right(-t)) / most;
      row[COMMON + 1] = -band(t, -inner, inner, blur);
      row[COMMON + 2] = (blurred(t) + blurred(-t)) / most;
      row[COMMON + 3] = 1;
      row[COMMON + 4] = t;
    },
  };
}
