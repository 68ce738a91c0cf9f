import { density } from "../../image/normal.ts";
import { band, bandBlurred, bandMoved, fading, slopeWithin } from "./blurred.ts";
import { COMMON, HEIGHT, MOST_SHIFT, PLACE, type Profile, type ProfileModel, type ProfilePlace } from "./profileModel.ts";
import { placeBy } from "./placeBy.ts";

/** Widths of a slit that are tried, mm, and by how much each half of it may differ from those (standard deviation): else lips and shades would make up for a width that is not among them. */
const WIDTHS = [0.1, 0.18, 0.28, 0.4];
const WIDER = 0.03;
/** Those of a kerf that takes board away, which are tried where none of a knife's fits, mm. */
const WIDE = [0.5, 0.62, 0.76, 0.92];
/** A slit's edges are ragged by this, mm (standard deviation; common practice, no source), which blurs the mean of many. */
const EDGE = 0.03;
/** Bands beside the slit, mm from its edge, in which a lip may catch light: fine enough for where it ends. */
const LIPS = [[0, 0.06], [0.06, 0.12], [0.12, 0.22]] as const;
/**
 * The rim that faces the light is bright, the other one lies in shade; which is which, the profile tells. By how much (mean and standard deviation; common practice, no source): a glint, or
 * board that the blade laid bare, is as bright whatever is printed beside it, and adds a share of the bare board's light; a printed rim is brighter by a share of its own.
 */
const LIP_MEAN = 0.05;
const LIP = 0.08;
const PRINTED_LIP = 0.05;
const SHADE_MEAN = 0.05;
const SHADE = 0.06;
/** In the same bands the blade has torn off such a share of the print, so that bare board shows (standard deviations; common practice, no source): on both sides, and more on one. Over board without print there is nothing to tear. */
const TORN = 0.2;
const TORN_MORE = 0.04;
/** What both rims have alike, lip or shade: it moves nothing. */
const BOTH = 0.05;
/** What a slit still shows from its depth, as a share of the bare board's light (as before). */
const DEPTH = 0.15;
/** By how much more light its floor shows at one wall than at the other, a share of the bare board's to a mm of its width (standard deviation; common practice, no source): of a broad slit that draws the middle of its dark. */
const FLOOR = 0.1;
/** How far the blur of a slit may be off, as a share of its variance: some are more ragged, and they lie on each other only nearly. */
const RAGGED = 0.2;
/** Reaches (sigma, mm) of a shade that falls from the slit's edge outwards. */
const SHADES = [0.15, 0.35];
/** Ground, its slope per mm and the darkness of a slit as shares of the ground's light: anything. */
const ANYTHING = 1;
/** Slits fainter than this share of the ground's light are not placed. */
const FAINTEST = 0.02;
/** Noise of a profile is taken to be no less than this share of the ground's light: texture along the slit is not averaged out like noise, and no model of what lies beside it is better. */
export const LEAST_NOISE = 0.003;
/** Reach of a profile, mm beyond 1.5 blurs: past the slit's lips and shades. */
const REACH = 0.9;

/** A profile over its ground's light, and how many times as bright the bare board is as that ground (1 where nothing is printed). */
export interface TonedProfile extends Profile {
  readonly bare: number;
  /** How far its place may lie off the others', mm (standard deviation; default 0: not at all). */
  readonly apart?: number;
}

/**
 * Places a slit in profiles that cross it over grounds of several tones. Beside it, on either side, lie a lip that may be brighter than the board and a shade; blur melts them with the
 * slit into one asymmetric line, which a symmetric one fitted to it takes for a displacement. The slit takes its ground's light, the lip adds the board's: over dark print the lip counts
 * the more, and so the two are told apart.
 *
 * @param profiles at (i - half) * step mm, all with the slit at the same place.
 * @param blur sigma of the picture's blur across, mm.
 */
export function placeSlit(profiles: readonly TonedProfile[], step: number, blur: number): ProfilePlace | null {
  const lip = Math.max(LIP, 0.5 * Math.max(...profiles.map(({ profile, bare }) => brightest(profile) / bare)));
  const apart = Math.max(...profiles.map((p) => p.apart ?? 0));
  // What is bare board's light, and not a share of the ground's, counts the more the darker the ground is; and a place moves by as much as the slit is dark.
  const factors = profiles.map(({ bare, profile }) => Float64Array.of(...counting(bare), ...(apart > 0 ? [depthOf(profile)] : [])));
  const slits = (widths: readonly number[]): Slit[] => widths.flatMap((width) => ([1, -1, 0] as const).map((lit) => new Slit({ width, broader: 0, lit, blur: Math.hypot(blur, EDGE), lip, apart, factors })));
  return placeBy(slits(WIDTHS), profiles, step, FAINTEST, () => slits(WIDE));
}

/** How far a profile falls below its ground, which is 0. */
export function depthOf(profile: Float64Array): number {
  return -profile.reduce((a, b) => Math.min(a, b));
}

/** How far a profile rises above its ends. */
function brightest(profile: Float64Array): number {
  return profile.reduce((a, b) => Math.max(a, b)) - 0.5 * (profile[0] + profile[profile.length - 1]);
}

/**
 * The standard uncertainty, mm, that lip and shade leave to a slit of a given width, mm, and darkness, share of the board's light, seen with a given blur, mm, in a profile of the given noise. Its rims are as
 * those of slits usually are, the lit one to the right: of a plain slit less would be left.
 */
export function slitDoubt(width: number, darkness: number, blur: number, noise = LEAST_NOISE): number {
  const step = Math.max(0.05, blur / 2);
  const half = profileHalf(blur, step);
  const profile = Float64Array.from({ length: 2 * half + 1 }, (_, i) => usualSlit((i - half) * step, width / 2, darkness, blur));
  return placeSlit([{ profile, noise: Math.max(LEAST_NOISE, noise), bare: 1 }], step, blur)?.sigma ?? 0;
}

/** Light of the board at t beside a slit with a lip and a shade as these usually are. */
function usualSlit(t: number, half: number, darkness: number, blur: number): number {
  const lip = LIPS.reduce((sum, [from, to]) => sum + band(t, half + from, half + to, blur), 0);
  const shade = SHADES.reduce((sum, reach) => sum + fading(-t - half, reach, blur), 0);
  return 1 - darkness * band(t, -half, half, blur) + LIP_MEAN * lip - SHADE_MEAN * shade;
}

/** Samples to either side of the middle of a profile that shows all of a slit. */
export function profileHalf(blur: number, step: number): number {
  return Math.floor((REACH + 1.5 * blur) / step);
}

/** By less than this share of the blur a width's derivative tells a broader slit as well as its own columns do. */
const LINEAR = 0.15;

/** Nor is its width told from farther than these shares of it. */
const MOST_NARROWER = 0.4;
const MOST_BROADER = 0.6;

/** A plain slit has neither lip nor shade but for so much of what others have. */
const PLAIN = 0.25;

/** Standard deviations and means of the coefficients of `Slit`. */
const lips = (v: number): number[] => LIPS.map(() => v);
const shades = (v: number): number[] => SHADES.map(() => v);
const PRIORS = (width: number, lip: number, beside: number, apart: number): number[] => [
  ANYTHING, MOST_SHIFT, WIDER, DEPTH, FLOOR * width, ...lips(beside * lip), ...lips(beside * PRINTED_LIP), ...lips((BOTH * lip) / LIP), ...lips(beside * TORN_MORE), ...lips(TORN), ...shades(beside * SHADE), ...shades(BOTH), RAGGED, ANYTHING, ANYTHING, ...(apart > 0 ? [apart] : []),
];
const MEANS = [0, 0, 0, 0, 0, ...lips(LIP_MEAN), ...lips(0), ...lips(0), ...lips(0), ...lips(0), ...shades(SHADE_MEAN), ...shades(0), 0, 0, 0];
/** By what each column counts: a share of the ground's light (0), of the bare board's (1), or of what that has more (2). */
const OF_LIGHT = [0, 0, 0, 1, 1, ...lips(1), ...lips(0), ...lips(1), ...lips(2), ...lips(2), ...shades(0), ...shades(0), 0, 0, 0];
const counting = (bare: number): number[] => OF_LIGHT.map((kind) => [1, bare, Math.max(0, bare - 1)][kind]);
/** The column, where there is one, by which each profile has a place of its own. */
const APART = MEANS.length;

interface SlitLook {
  /** mm, and by how much more on each side. */
  readonly width: number;
  readonly broader: number;
  readonly lit: 1 | -1 | 0;
  readonly blur: number;
  /** How bright bare lips may be. */
  readonly lip: number;
  /** How far the profiles' places may lie off each other, mm. */
  readonly apart: number;
  readonly factors: readonly Float64Array[];
}

/** A slit of one width with a bright rim on one side (`lit`: +1 where t grows) and shade on the other; 0: a plain one. Each profile has a blur of its own as well as ground and slope, and where they may lie apart a place. */
class Slit implements ProfileModel {
  readonly priors: Float64Array;
  readonly means: Float64Array;
  readonly own: number;
  readonly takes = COMMON + 1;
  readonly factors: readonly Float64Array[];
  private readonly look: SlitLook;
  private readonly half: number;
  private readonly lit: 1 | -1;
  /** 1 where what one side has of lip and shade the other one lacks: of a plain slit neither is the lit one. */
  private readonly opposite: 0 | 1;
  private readonly blur: number;

  constructor(look: SlitLook, height = 0) {
    const { width, lit, blur, lip, apart, broader } = look;
    this.look = look;
    this.half = width / 2 + broader;
    this.lit = lit || 1;
    this.opposite = lit === 0 ? 1 : 0;
    this.blur = blur;
    this.priors = Float64Array.from(PRIORS(width, lip, lit === 0 ? PLAIN : 1, apart));
    this.means = Float64Array.from(this.priors, (_, a) => (lit === 0 ? 0 : (MEANS[a] ?? 0)));
    this.means[COMMON] = -broader * height;
    this.own = apart > 0 ? 4 : 3;
    this.factors = look.factors;
  }

  broadened(asked: number, height: number): Slit {
    const by = Math.max(-MOST_NARROWER * this.half, Math.min(MOST_BROADER * this.half, asked));
    return Math.abs(by) < LINEAR * this.blur ? this : new Slit({ ...this.look, broader: Math.max(0.01 - this.look.width / 2, this.look.broader + by) }, height);
  }

  columnsAt(t: number, row: Float64Array): void {
    const { half, lit, opposite, blur } = this;
    const gap = band(t, -half, half, blur);
    row[HEIGHT] = -gap;
    row[PLACE] = -bandMoved(t, -half, half, blur);
    row[COMMON] = -(density((t + half) / blur) + density((t - half) / blur)) / blur;
    row[COMMON + 1] = gap;
    row[COMMON + 2] = slopeWithin(t, half, blur);
    let c = COMMON + 3;
    for (const [from, to] of LIPS) {
      const [on, off] = [band(lit * t, half + from, half + to, blur), band(-lit * t, half + from, half + to, blur)];
      // Of the bare board's light and of the ground's; torn.
      row[c] = row[c + LIPS.length] = row[c + 3 * LIPS.length] = on - opposite * off;
      row[c + 2 * LIPS.length] = row[c + 4 * LIPS.length] = on + off;
      c++;
    }
    c += 4 * LIPS.length;
    for (const reach of SHADES) {
      const [on, off] = [fading(lit * t - half, reach, blur), fading(-lit * t - half, reach, blur)];
      row[c] = opposite * on - off;
      row[c + SHADES.length] = -(on + off);
      c++;
    }
    c += SHADES.length;
    row[c] = -bandBlurred(t, -half, half, blur);
    row[c + 1] = 1;
    row[c + 2] = t;
    if (row.length > APART) row[APART] = row[PLACE];
  }
}
