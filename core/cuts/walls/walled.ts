import { SmallSystem } from "../../geometry/smallSystem.ts";
import { integral } from "../../image/normal.ts";
import { slopeBeyond } from "../profile/blurred.ts";
import { columnFit, dot, reachOf, samplesBetween } from "../profile/profileFit.ts";
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
  const flat = columnFit(window.value, window.ground);
  const equations = equationsBetween(window, low, high, wall, width);
  const free = leastOf(tryAll(equations, NONE));
  if (!flat || !free) return null;
  const scatter = free.fit.squares / Math.max(1, window.t.length - TERMS - 1) + 1e-8;
  // A wall seen narrower than the blur leaves the heights of its two steps undetermined: there what walls look like decides.
  const whole = free.fit.edge + free.fit.end;
  const expected = chunk.wallEnd ?? END_SHARE * whole;
  const held = (height: number, spread: number): HeldHeight => ({ height, weight: scatter / (spread * whole) ** 2 });
  const fits = tryAll(equations, { edge: held(whole - expected, SHARE_SCATTER), end: held(expected, chunk.wallEnd === undefined ? SHARE_SCATTER : TOLD_SCATTER), shade: scatter / (SHADE * whole) ** 2 });
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
  return window && (leastOf(tryAll(equationsBetween(window, t - reach, t + reach, wall, width), NONE))?.fit.end ?? null);
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
  const middle = t[t.length >> 1];
  return t.length < 3 * TERMS ? null : { t, value, squares: dot(value, value), ground: [t.map(() => 1), t.map((x) => x - middle)] };
}

/** The equations of both steps with the face's edge at places from one to another, mm. */
function equationsBetween(window: Window, low: number, high: number, wall: number, width: number): StepEquations[] {
  const trials = Math.ceil(((high - low) / width) * TRIALS);
  return Array.from({ length: trials + 1 }, (_, i) => equationsAt(window, low + (i * (high - low)) / trials, wall, width));
}

/** Both steps fitted in each of those places. */
function tryAll(equations: readonly StepEquations[], held: Held): Trial[] {
  return equations.flatMap((e) => {
    const fit = stepsOf(e, held);
    return fit ? [{ t: e.place, fit }] : [];
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
  /** Columns of the ground and its slope, alike for all places of the edge. */
  readonly ground: readonly (readonly number[])[];
}

interface TwoSteps {
  readonly ground: number;
  /** Heights of the steps at the face's edge and at the wall's end. */
  readonly edge: number;
  readonly end: number;
  readonly squares: number;
}

/** Added to each term's own weight, as a share of it: steps that blur makes one leave their heights undetermined. */
const DAMPING = 1e-6;
/** Room for one fit at a time. */
const system = new SmallSystem(TERMS);

/** Normal equations of both steps for a given place of the face's edge, lower triangle. */
interface StepEquations {
  readonly place: number;
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  readonly squares: number;
}

function equationsAt({ t, value, squares, ground }: Window, place: number, wall: number, width: number): StepEquations {
  const columns = [...ground, t.map((x) => integral((x - place) / width)), t.map((x) => integral((x - place - wall) / width)), t.map((x) => slopeBeyond(Math.sign(wall) * (x - place - wall), width))];
  const matrix = new Float64Array(TERMS * TERMS);
  const right = new Float64Array(TERMS);
  for (let a = 0; a < TERMS; a++) {
    right[a] = dot(columns[a], value);
    for (let b = 0; b <= a; b++) matrix[TERMS * a + b] = dot(columns[a], columns[b]);
  }
  return { place, matrix, right, squares };
}

/** Heights of both steps. */
function stepsOf({ matrix, right, squares }: StepEquations, held: Held): TwoSteps | null {
  system.matrix.set(matrix);
  system.right.set(right);
  let total = squares;
  [held.edge, held.end].forEach((expected, k) => {
    if (!expected) return;
    const { height, weight } = expected;
    system.matrix[(TERMS + 1) * (2 + k)] += weight;
    system.right[2 + k] += weight * height;
    total += weight * height * height;
  });
  for (let a = 0; a < TERMS; a++) system.matrix[(TERMS + 1) * a] *= 1 + DAMPING;
  const size = held.shade === null ? TERMS - 1 : TERMS;
  if (!system.solve(size, held.shade ?? 0)) return null;
  const [ground, , edge, end] = system.solution;
  return { ground, edge, end, squares: Math.max(0, total - system.explained(size)) };
}
