import { SmallSystem } from "../../geometry/smallSystem.ts";
import { integral } from "../../image/normal.ts";
import { slopeBeyond } from "../profile/blurred.ts";
import { dot, reachOf, samplesBetween } from "../profile/profileFit.ts";
import type { Located } from "../locate.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** The thickness of board is known to this share (common practice, no source), and so is how wide its wall is seen. */
const THICKNESS_SHARE = 0.1;
/** How far from the start the edge is sought, mm, or in widths of the profile, whichever is more. */
const SOUGHT = 0.3;
const SOUGHT_WIDTHS = 1.5;
/** Trial places to a width of the profile. */
const TRIALS = 6;
/**
 * Of the whole step from the face to what lies beyond, the wall's end takes this share, and the face's edge the rest, each with this standard deviation: a wall from as dark
 * as the ground to brighter than a printed face (common practice, no source).
 */
const END_SHARE = 0.6;
const SHARE_SCATTER = 0.6;
/** The same of the wall's end where other chunks that face the same way tell how high it is: they differ by what light and board do there (common practice, no source). */
const TOLD_SCATTER = 0.2;
/** The light beyond has a slope of its own, of so much of the whole step per mm (standard deviation): the shade at the board's foot (see edgeProfile.ts). */
const SHADE = 0.1;
/** Columns: ground, its slope, the face's edge, the wall's end, the slope beyond. */
const TERMS = 5;

/**
 * Locates the edge of a board's face beside which its wall is seen. The wall may be as dark as the ground beyond, as bright as the face or brighter: two steps a known distance
 * apart, both of free height, are fitted at places along the profile, and the places weighed by their likelihood. So where only one step shows that may be
 * the face's edge as well as the wall's end, the uncertainty holds both. Null where too little is seen.
 *
 * @param wall from the face's edge to the wall's end along the normal, mm, with its sign.
 * @param width sigma of the steps, mm.
 */
export function locateWalled(chunk: Chunk, grid: StripGrid, wall: number, start: number, width: number): Located | null {
  const sought = Math.max(SOUGHT, SOUGHT_WIDTHS * width);
  // What was found may be the wall's end as well as the edge.
  const [low, high] = [start - sought - Math.max(0, wall), start + sought - Math.min(0, wall)];
  const window = windowAbout(chunk, grid, low, high, wall, width);
  if (!window) return null;
  const flat = fitAt(window, null, wall, width, NONE);
  const tryAll = (held: Held) => tryBetween(window, low, high, wall, width, held);
  const free = leastOf(tryAll(NONE));
  if (!flat || !free) return null;
  const scatter = free.fit.squares / Math.max(1, window.t.length - TERMS - 1) + 1e-8;
  // A wall seen narrower than the blur leaves the heights of its two steps undetermined: there what walls look like decides.
  const whole = free.fit.edge + free.fit.end;
  const expected = chunk.wallEnd ?? END_SHARE * whole;
  const held = (height: number, spread: number): HeldHeight => ({ height, weight: scatter / (spread * whole) ** 2 });
  const fits = tryAll({ edge: held(whole - expected, SHARE_SCATTER), end: held(expected, chunk.wallEnd === undefined ? SHARE_SCATTER : TOLD_SCATTER), shade: scatter / (SHADE * whole) ** 2 });
  const best = leastOf(fits);
  if (!best || !(Math.abs(whole) > 1e-6)) return null;
  let weights = 0;
  let mean = 0;
  let square = 0;
  for (const { t, fit } of fits) {
    const w = Math.exp((best.fit.squares - fit.squares) / (2 * scatter));
    weights += w;
    mean += w * t;
    square += w * t * t;
  }
  mean /= weights;
  const { edge, end, ground } = best.fit;
  const farther = Math.abs(end) / Math.max(1e-9, Math.abs(edge) + Math.abs(end));
  // Between two trials the likelihood is not seen: its width counts for no less than a share of their distance.
  const variance = Math.max(square / weights - mean * mean, (0.3 * width / TRIALS) ** 2 / 12);
  return {
    t: mean, sigma: Math.hypot(Math.sqrt(variance), THICKNESS_SHARE * wall * farther), amplitude: edge + end,
    significance: Math.sqrt(Math.max(0, flat.squares - best.fit.squares) / scatter), scatter, ground,
  };
}

/** How much lighter it gets at the end of a wall of a face whose edge lies within `reach` of t, mm, by the place that fits best; null where too little is seen. */
export function endHeight(chunk: Chunk, grid: StripGrid, wall: number, t: number, reach: number, width: number): number | null {
  const window = windowAbout(chunk, grid, t - reach, t + reach, wall, width);
  return window && (leastOf(tryBetween(window, t - reach, t + reach, wall, width, NONE))?.fit.end ?? null);
}

/** A wall seen narrower than this share of the profile's width melts into one step with the face's edge. */
const MELTED = 0.5;

/** Whether a wall (mm; none: 0) is seen as one step with the face's edge: two would be fitted to whatever else broadens it. */
export function isMelted(wall: number, width: number): boolean {
  return Math.abs(wall) < MELTED * width;
}

/** How far along the normal a step into which a wall has melted lies from the face's edge, mm, as walls usually look. */
export function meltedShift(wall: number): number {
  return END_SHARE * wall;
}

/**
 * What of an edge's uncertainty is alike all along a side, mm: a wall that blur hides draws the edge by an unknown share of its width (evenly from nothing to all of it: 0.3
 * standard deviations), one that is resolved by what its thickness is not known to.
 */
export function wallDoubt(wall: number, width: number): number {
  return Math.abs(wall) * Math.hypot(HIDDEN_SHARE * Math.exp(-((wall / (2 * width)) ** 2)), THICKNESS_SHARE);
}
const HIDDEN_SHARE = 0.3;

interface Trial {
  readonly t: number;
  readonly fit: TwoSteps;
}

/** What a chunk shows where its face's edge lies between two places, mm, and its wall beside it; null where too little is seen. */
function windowAbout(chunk: Chunk, grid: StripGrid, low: number, high: number, wall: number, width: number): Window | null {
  const beside = reachOf("step", width);
  const { t, value } = samplesBetween(chunk, grid, low - beside + Math.min(0, wall), high + beside + Math.max(0, wall));
  return t.length < 3 * TERMS ? null : { t, value, squares: dot(value, value) };
}

/** Both steps fitted with the face's edge at places from one to another, mm. */
function tryBetween(window: Window, low: number, high: number, wall: number, width: number, held: Held): Trial[] {
  const trials = Math.ceil(((high - low) / width) * TRIALS);
  return Array.from({ length: trials + 1 }, (_, i) => low + (i * (high - low)) / trials).flatMap((t) => {
    const fit = fitAt(window, t, wall, width, held);
    return fit ? [{ t, fit }] : [];
  });
}

function leastOf(trials: readonly Trial[]): Trial | null {
  return trials.length === 0 ? null : trials.reduce((a, b) => (b.fit.squares < a.fit.squares ? b : a));
}

/** What a height is expected to be, and with what weight against the samples' squares. */
interface HeldHeight {
  readonly height: number;
  readonly weight: number;
}

/** What is expected of the steps at the face's edge and at the wall's end; null: nothing. */
interface Held {
  readonly edge: HeldHeight | null;
  readonly end: HeldHeight | null;
  /** The weight of the slope beyond, which is expected to be none; null: it is none. */
  readonly shade: number | null;
}
const NONE: Held = { edge: null, end: null, shade: null };

interface Window {
  readonly t: readonly number[];
  readonly value: readonly number[];
  readonly squares: number;
}

interface TwoSteps {
  readonly ground: number;
  /** Heights of the steps at the face's edge and at the wall's end. */
  readonly edge: number;
  readonly end: number;
  readonly squares: number;
}

/** Room for one fit at a time, of the ground alone and with both steps. */
const grounds = new SmallSystem(2);
const steps = new SmallSystem(TERMS);
/** Added to each term's own weight, as a share of it: steps that blur makes one leave their heights undetermined. */
const DAMPING = 1e-6;
const row = new Float64Array(TERMS);

/** Heights of both steps for a given place of the face's edge, or the sloping ground alone (place null). */
function fitAt({ t, value, squares }: Window, place: number | null, wall: number, width: number, held: Held): TwoSteps | null {
  const system = place === null ? grounds : steps;
  const { terms: n, matrix, right, solution } = system;
  matrix.fill(0);
  right.fill(0);
  const middle = t[t.length >> 1];
  for (let i = 0; i < t.length; i++) {
    row[0] = 1;
    row[1] = t[i] - middle;
    if (place !== null) {
      row[2] = integral((t[i] - place) / width);
      row[3] = integral((t[i] - place - wall) / width);
      row[4] = slopeBeyond(Math.sign(wall) * (t[i] - place - wall), width);
    }
    for (let a = 0; a < n; a++) {
      right[a] += row[a] * value[i];
      for (let b = 0; b <= a; b++) matrix[n * a + b] += row[a] * row[b];
    }
  }
  let total = squares;
  if (place !== null) {
    [held.edge, held.end].forEach((expected, k) => {
      if (!expected) return;
      const { height, weight } = expected;
      matrix[(n + 1) * (2 + k)] += weight;
      right[2 + k] += weight * height;
      total += weight * height * height;
    });
  }
  for (let a = 0; a < n; a++) matrix[(n + 1) * a] *= 1 + DAMPING;
  const size = held.shade === null ? Math.min(n, TERMS - 1) : n;
  if (!system.solve(size, held.shade ?? 0)) return null;
  return { ground: solution[0], edge: solution[2] ?? 0, end: solution[3] ?? 0, squares: Math.max(0, total - system.explained(size)) };
}
