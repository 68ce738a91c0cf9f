import { factor } from "../../geometry/normalEquations.ts";
import { quadraticForm } from "../../geometry/quadraticForm.ts";
import { NormalEquations } from "../../geometry/rowSums.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";

/** A place on a feature with its unit normal, print mm. */
interface Place {
  readonly x: number;
  readonly y: number;
  readonly nx: number;
  readonly ny: number;
}

/** A stretch of the feature, and by how much it lies off from what all cuts agree on, mm. */
export interface OffStretch extends Place {
  readonly measured: number;
  readonly model: number;
}

/** How a feature lies against the map that all cuts agree on. */
export interface OwnShift {
  readonly off: boolean;
  /** Along the normal of a place, mm, and its variance, mm^2. */
  at(place: Place): number;
  variance(place: Place): number;
}

export const NO_SHIFT: OwnShift = { off: false, at: () => 0, variance: () => 0 };

/** Fewer stretches tell no shift of their own. */
const FEWEST = 6;
/** A feature that lies off by less, mm, is left to the common map. */
const LEAST_OWN = 0.08;
/** An own shift of a feature must lower its residuals by this, in units of their noise, to be believed. */
const BELIEVED = 100;
/** Share of the stretches that a feature's own shift moves which it must bring nearer to the cut. */
const MOSTLY = 0.65;
/** How far a feature lies off at most usually, mm (standard deviation; common practice, no source): what its sides cannot tell, such as a slot's place along itself, is not made up. */
const USUAL_OWN = 0.3;

/** A shift and turn of one feature against the common map, where its residuals ask for it; `noise`: variance of a stretch, mm^2. */
export function ownShift(seen: readonly OffStretch[], noise: number): OwnShift {
  if (seen.length < FEWEST) return NO_SHIFT;
  const cx = seen.reduce((s, p) => s + p.x, 0) / seen.length;
  const cy = seen.reduce((s, p) => s + p.y, 0) / seen.length;
  const half = Math.max(1, ...seen.map((p) => Math.hypot(p.x - cx, p.y - cy)));
  const turn = (s: Place): number => (s.ny * (s.x - cx) - s.nx * (s.y - cy)) / half;
  const row = (s: Place): Float64Array => Float64Array.of(s.nx, s.ny, turn(s));
  const shift = (x: ArrayLike<number>, s: Place): number => s.nx * x[0] + s.ny * x[1] + turn(s) * x[2];
  const after = (x: ArrayLike<number>, s: OffStretch): number => s.measured - s.model - shift(x, s);
  // Robust: stretches that fit neither the common map nor the feature's own shift are something else than a cut.
  let weights = seen.map(() => 1);
  let fit: Fit | null = null;
  for (let pass = 0; pass < 3; pass++) {
    fit = fitShift(seen, weights, row, noise / USUAL_OWN ** 2);
    if (!fit) return NO_SHIFT;
    const { x } = fit;
    const limit = 5 * Math.max(Math.sqrt(noise), robustSigma(seen.map((s) => after(x, s))));
    weights = seen.map((s) => Math.max(0, 1 - (after(x, s) / limit) ** 2) ** 2);
  }
  if (!fit) return NO_SHIFT;
  const { x, inverse } = fit;
  const gain = seen.reduce((sum, s, i) => sum + weights[i] * ((s.measured - s.model) ** 2 - after(x, s) ** 2), 0);
  // Sides along which it lies off are where they were.
  const moved = seen.filter((s) => Math.abs(shift(x, s)) > LEAST_OWN / 2);
  const nearer = moved.filter((s) => Math.abs(after(x, s)) < Math.abs(s.measured - s.model)).length;
  if (gain / noise < BELIEVED || Math.hypot(...x) < LEAST_OWN || nearer < MOSTLY * moved.length) return NO_SHIFT;
  return { off: true, at: (s) => shift(x, s), variance: (s) => noise * quadraticForm(inverse, 3, row(s)) };
}

interface Fit {
  readonly x: Float64Array;
  readonly inverse: Float64Array;
}

function fitShift(seen: readonly OffStretch[], weights: readonly number[], row: (s: Place) => Float64Array, prior: number): Fit | null {
  const equations = new NormalEquations(3);
  equations.sum((add) => {
    seen.forEach((s, k) => add(row(s), s.measured - s.model, weights[k]));
    for (let i = 0; i < 3; i++) add(Float64Array.from({ length: 3 }, (_, k) => (k === i ? 1 : 0)), 0, prior);
  });
  const solved = factor(equations.matrix, 3);
  return "undetermined" in solved ? null : { x: solved.solve(equations.gradient), inverse: solved.inverse() };
}
