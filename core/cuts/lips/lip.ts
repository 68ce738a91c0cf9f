import { medianOf } from "../../statistics/median.ts";
import { aboveEnds, FEWEST, poolRows, pooledBlur, rowAbout, TELLS_NOTHING } from "../profile/pool.ts";
import { ACCEPTABLE } from "../profile/placeBy.ts";
import type { ProfilePlace } from "../profile/profileModel.ts";
import { depthOf, LEAST_NOISE, placeSlit, profileHalf, type TonedProfile } from "../profile/slitProfile.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/**
 * A slit has a lip where the blade went in: a bright edge on the lit side, a shaded one on the other. A symmetric line fitted to
 * that profile lies off its slit towards the shade, by the same amount wherever the cut runs in the same direction over print of the same tone, so it would pass for an offset.
 * Here the profiles of all chunks of one direction are laid on each other, which leaves hardly any noise, and the slit is placed in the sum (see slitProfile.ts).
 */
export interface LipBias {
  /** What to add to t, mm, on the whole. */
  readonly shift: number;
  /** Standard uncertainty of the shift, mm. */
  readonly sigma: number;
  /** The shift by the tone of the ground, from light to dark: bare board's light over the ground's. Absent where there is but one. */
  readonly tones?: readonly ToneShift[];
}

interface ToneShift {
  readonly bare: number;
  readonly shift: number;
}

/** A chunk of a slit or an edge: where a symmetric fit found it, and where all cuts together expect it, mm. */
export interface Seen {
  readonly chunk: Chunk;
  readonly t: number;
  readonly expected: number;
}

/** Ground darker than this share of the bare board is not divided by. */
const DARKEST = 0.04;
/** Chunks are told apart by the tone of their ground in so many groups, of so many chunks at least, and from lightest to darkest so many times as dark for each: light is uneven too. */
const TONES = 6;
const FEWEST_OF_A_TONE = 12;
const DARKER = 1.4;

/** How light the ground is on both sides of t, linear light; NaN where it is not seen. `half`: samples to the profile's ends. */
export function groundAbout({ profile }: Pick<Chunk, "profile">, t: number, grid: StripGrid, half: number): number {
  const k = Math.round((t + grid.reach) / grid.step);
  return 0.5 * (profile[Math.max(0, k - half)] + profile[Math.min(grid.count - 1, k + half)]);
}

/** A pooled profile is read at every second sample of the strip, a pixel or so apart. */
const STRIDE = 2;
/** Where the slit lies further from the middle of the profile, mm, it is looked at again about its place: what lies at the ends counts on one side only. */
const OFF_MIDDLE = 0.02;

/** A lens and a JPEG's halved hues lay the colours of one place beside each other, px (standard deviation; common practice, no source): dark print is dark in some of them only. */
export const COLOURS_APART = 0.15;

/** How far from a slit's middle its lip catches light, mm (common practice, no source). */
const LIP_AWAY = 0.2;
/** Third moment of a residual of root mean square r, all of it lopsided, over two blurs s to either side, in units of r s^4: 8; that of a slit of depth h and skewness e is e sqrt(2 pi) h s^4. */
const LOPSIDED = 8 / Math.sqrt(2 * Math.PI);

/**
 * What the lip may be mistaken by because its model does not show what is there: print beside the slit, texture, sharpening. A lip of area a at the distance d moves the middle of gravity of a slit of
 * area A by a d / A, and its skewness, which is all that blur s leaves to be seen, by a d^3 / (A s^3): a skewness that is wrong by e speaks for a shift that is wrong by e s^3 / d^2. The model took up
 * as much of what it does not know as it left over: e is that of the residual, as far as it is alike over all tones. What differs from one to the next is noise where the model fits, and no lip's; where
 * it does not, what is more than noise counts too. Standard uncertainty, mm.
 */
function mistakenBy(profiles: readonly TonedProfile[], { rest, excess }: ProfilePlace, blur: number): number {
  const each = rest();
  const alike = meanOf(Array.from(each[0], (_, i) => meanOf(each.map((r) => r[i])) ** 2));
  const all = meanOf(each.map((r) => meanOf(Array.from(r, (v) => v * v))));
  const left = Math.sqrt(alike + (1 - Math.min(1, ACCEPTABLE / excess)) * (all - alike));
  const depth = profiles.reduce((most, { profile }) => Math.max(most, depthOf(profile)), 0);
  return depth > 0 ? (LOPSIDED * (left / depth) * blur ** 3) / LIP_AWAY ** 2 : Infinity;
}

/** The bias of the symmetric fit for the chunks of one direction; null where they are too few to tell. `blur`: of the picture, mm along the normal; `bare`: light of bare board in the sheet's middle. */
export function lipBias(slits: readonly Seen[], grid: StripGrid, blur: number, bare: number): LipBias | null {
  if (slits.length < FEWEST) return null;
  const place = placeAgain((off) => placeTogether(slits, off, grid, blur, bare));
  if (!place || !(place.sigma < TELLS_NOTHING)) return null;
  const reach = STRIDE * profileHalf(blur, STRIDE * grid.step);
  const found = slits.map(({ chunk, t, expected }) => ({ off: t - expected, bare: (bare * (chunk.light ?? 1)) / groundAbout(chunk, t, grid, reach) })).filter((f) => f.bare > 0);
  const shift = place.shift - medianOf(slits.map((s) => s.t - s.expected));
  const tones = byTone(found).map((group) => ({ bare: medianOf(group.map((g) => g.bare)), shift: place.shift - medianOf(group.map((g) => g.off)) }));
  return { shift, sigma: place.sigma, ...(tones.length > 1 ? { tones: asLikely(tones, shift) } : {}) };
}

/** A lip draws a line aside by so much more, mm, over print that the bare board is by once its light brighter than, and slits over one tone lie off by themselves by so much (standard deviations; common practice, no source). */
const BY_TONE = 0.05;
const OFF_BY_ITSELF = 0.02;

/** Tones' shifts drawn to that of all as far as they differ by more than tones of about the same light can: what lies over one tone may be another slit, which lies elsewhere. */
function asLikely(tones: readonly ToneShift[], shift: number): ToneShift[] {
  const middle = medianOf(tones.map((tone) => tone.bare));
  return tones.map(({ bare, shift: own }) => {
    const asked = (BY_TONE * (bare - middle)) ** 2;
    return { bare, shift: shift + ((own - shift) * asked) / (asked + OFF_BY_ITSELF ** 2) };
  });
}

/** The place that profiles about where the slits are expected tell, mm, or those about the place that they tell first, where that is farther away. `placeAbout`: by profiles about so many mm beside it. */
export function placeAgain(placeAbout: (off: number) => ProfilePlace | null): ProfilePlace | null {
  const first = placeAbout(0);
  return (first && Math.abs(first.shift) > OFF_MIDDLE ? placeAbout(first.shift) : null) ?? first;
}

/** Where the slits lie beside where they are expected, mm, from profiles about `off` mm beside it. */
function placeTogether(slits: readonly Seen[], off: number, grid: StripGrid, blur: number, bare: number): ProfilePlace | null {
  const step = STRIDE * grid.step;
  const half = profileHalf(blur, step);
  const inColour = slits[0].chunk.colours !== undefined;
  const apart = inColour ? COLOURS_APART / meanOf(slits.map(({ chunk }) => chunk.scale)) : 0;
  const rows: Levelled[] = [];
  for (const { chunk, expected } of slits) {
    for (const row of chunk.colours?.(expected + off, half, step) || [rowAbout(chunk, expected + off, grid, half, STRIDE)]) {
      const own = row && levelled(row, bare * (chunk.light ?? 1));
      if (own) rows.push(own);
    }
  }
  const profiles = byTone(rows).flatMap((group): TonedProfile[] => {
    const pooled = poolRows(group.map(({ row }) => row));
    const bare = meanOf(group.map((g) => g.bare));
    return pooled ? [{ profile: pooled.profile, noise: Math.max(leastNoise(bare), pooled.noise), bare, apart }] : [];
  });
  const place = profiles.length > 0 ? placeSlit(profiles, step, pooledBlur(slits, blur, inColour ? 0 : grid.step)) : null;
  return place && { ...place, shift: off + place.shift, sigma: Math.hypot(place.sigma, mistakenBy(profiles, place, blur)) };
}

/** The shift of a chunk by the tone of its ground (bare board's light over the ground's), between the tones that were looked at. */
export function shiftFor({ shift, tones }: LipBias, bare: number): number {
  if (!tones || !(bare > 0)) return shift;
  const above = tones.findIndex((tone) => tone.bare > bare);
  if (above < 0) return tones[tones.length - 1].shift;
  if (above === 0) return tones[0].shift;
  const [a, b] = [tones[above - 1], tones[above]];
  return a.shift + ((bare - a.bare) / (b.bare - a.bare)) * (b.shift - a.shift);
}

/** Groups of equal size from light to dark ground; one where all are alike or too few. */
function byTone<T extends { readonly bare: number }>(all: readonly T[]): T[][] {
  const sorted = [...all].sort((a, b) => a.bare - b.bare);
  const [light, dark] = [0.05, 0.95].map((share) => sorted[Math.floor(share * sorted.length)]?.bare ?? 1);
  const count = Math.max(1, Math.min(TONES, Math.floor(sorted.length / FEWEST_OF_A_TONE), 1 + Math.floor(Math.log(dark / light) / Math.log(DARKER))));
  return Array.from({ length: count }, (_, k) => sorted.slice(Math.floor((k * sorted.length) / count), Math.floor(((k + 1) * sorted.length) / count)));
}

/** Least noise over a ground that the bare board is so many times as light as: what a picture file rounds is more of the light the darker that is, about by its root. */
function leastNoise(bare: number): number {
  return LEAST_NOISE * Math.sqrt(Math.max(1, bare));
}

interface Levelled {
  readonly row: Float64Array;
  readonly bare: number;
}

/** Ground that is so many times as light on one side of a slit as on the other is not one print: its edge runs there, which neither lips nor shades are. */
const UNLIKE = 1.6;

/** As a share of the ground's light, and levelled at both ends, so that the tones of the artwork do not add scatter; null over ground that is too dark, and where an edge of the print runs beside the slit. */
function levelled(row: Float64Array, bare: number): Levelled | null {
  const [left, right] = [row[0], row[row.length - 1]];
  const ground = 0.5 * (left + right);
  if (!(ground > DARKEST * bare) || Math.max(left, right) > UNLIKE * Math.min(left, right)) return null;
  return { row: aboveEnds(row).map((v) => v / ground), bare: bare / ground };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((s, v) => s + v, 0) / values.length;
}
