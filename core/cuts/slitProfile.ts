import { density } from "../image/normal.ts";
import { band, fading } from "./blurred.ts";
import { COMMON, HEIGHT, MOST_SHIFT, PLACE, placeBy, type ProfileModel, type ProfilePlace } from "./profileModel.ts";

/** Widths of a slit that are tried, mm. */
const WIDTHS = [0.08, 0.14, 0.22, 0.32, 0.42];
/**
 * Bands beside the slit, mm from its edge, in which a lip may catch light, and how much of the ground's (standard deviation; common practice, no source). In dark print a lip
 * shows bare board, many times as bright as its ground: there half of the brightest that is seen.
 */
const LIPS = [[0, 0.08], [0.08, 0.2]] as const;
const LIP_LIGHT = 0.08;
/** Reaches (sigma, mm) of a shade that falls from the slit's edge outwards, and how much of the board's light it takes (as before). */
const SHADES = [0.15, 0.35];
const SHADE = 0.07;
/** Ground, its slope per mm and the darkness of a slit as shares of the ground's light: anything. */
const ANYTHING = 1;
/** Slits fainter than this share of the ground's light are not placed. */
const FAINTEST = 0.02;
/** Noise of a profile is taken to be no less than this share of the ground's light: texture along the slit is not averaged out like noise. */
export const LEAST_NOISE = 0.003;
/** Reach of a profile, mm beyond 1.5 blurs: past the slit's lips and shades. */
const REACH = 0.9;

/**
 * Places a slit in a profile. Beside it, on either side, lie a lip that may be brighter than the board and a shade; blur melts them with the slit
 * into one asymmetric line, which a symmetric one fitted to it takes for a displacement.
 *
 * @param profile light over the ground's light at (i - half) * step mm; of odd length.
 * @param noise standard deviation of a sample.
 * @param blur sigma of the picture's blur across, mm.
 */
export function placeSlit(profile: Float64Array, step: number, noise: number, blur: number): ProfilePlace | null {
  const ground = 0.5 * (profile[0] + profile[profile.length - 1]);
  const lip = Math.max(LIP_LIGHT, 0.5 * (profile.reduce((a, b) => Math.max(a, b)) - ground));
  return placeBy(WIDTHS.map((width) => slitOf(width, blur, lip)), profile, step, noise, FAINTEST);
}

/** The standard uncertainty, mm, that lips and shades leave to a plain slit of a given width, mm, and darkness, share of the board's light, seen with a given blur, mm, in a profile of the given noise. */
export function slitDoubt(width: number, darkness: number, blur: number, noise = LEAST_NOISE): number {
  const step = Math.max(0.05, blur / 2);
  const half = profileHalf(blur, step);
  const profile = Float64Array.from({ length: 2 * half + 1 }, (_, i) => 1 - darkness * band((i - half) * step, -width / 2, width / 2, blur));
  return placeSlit(profile, step, Math.max(LEAST_NOISE, noise), blur)?.sigma ?? 0;
}

/** Samples to either side of the middle of a profile that shows all of a slit. */
export function profileHalf(blur: number, step: number): number {
  return Math.floor((REACH + 1.5 * blur) / step);
}

/** A slit of one width between its lips and shades on both sides; `lip`: how bright those may be. */
function slitOf(width: number, blur: number, lip: number): ProfileModel {
  const half = width / 2;
  const priors = new Float64Array(COMMON + 2 * LIPS.length + 2 * SHADES.length).fill(SHADE);
  priors.set([ANYTHING, ANYTHING, ANYTHING, MOST_SHIFT]);
  priors.fill(lip, COMMON, COMMON + 2 * LIPS.length);
  return {
    priors,
    columnsAt(t, row) {
      row[0] = 1;
      row[1] = t;
      row[HEIGHT] = -band(t, -half, half, blur);
      row[PLACE] = -(density((t - half) / blur) - density((t + half) / blur)) / blur;
      let k = COMMON;
      for (const [from, to] of LIPS) {
        row[k++] = band(t, half + from, half + to, blur);
        row[k++] = band(t, -half - to, -half - from, blur);
      }
      for (const spread of SHADES) {
        row[k++] = -fading(t - half, spread, blur);
        row[k++] = -fading(-t - half, spread, blur);
      }
    },
  };
}
