import { predictedOffset } from "../../cuts/register.ts";
import { presenceOf, standsOutPlainly, type Presence } from "../../cuts/evidence/presence.ts";
import { relocate, type Expectation } from "../../cuts/relocate.ts";
import type { Trace, TracedPath } from "../../cuts/trace.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { biasOf } from "../fit/edgePriors.ts";
import { displacement } from "../fit/cutMap.ts";
import { isScattered } from "./scatter.ts";
import type { Solution } from "../fit/solution.ts";
import { mapOf } from "../view/nuisancesOf.ts";
import type { LensMap } from "../view/viewModel.ts";

/** How often the cuts are located again from the fit to them. */
const RELOCATIONS = 2;
/** One chunk in so many does for a fit that is only on the way. */
const THINNED = 3;

/** Weight of the artwork's own lines against the slits in the cuts' uncertainty: they pull each chunk by about their share of its darkness. */
const PULL = 4;

export interface FittedCuts {
  readonly solution: Solution | null;
  readonly paths: readonly TracedPath[];
  /** How plainly the slits stand out; null where there are none, or no solution. */
  readonly presence: Presence | null;
  /** Most of what was found is something else than the cuts: it scatters too much. */
  readonly scattered: boolean;
}

/**
 * Locates the cuts and fits view and cut to them, in turn: first from where all cuts together are expected coarsely, then from where the
 * fit expects each. `strip` is the view that the strips were sampled under; `fit` solves for given paths, from the last solution where there is one,
 * with the given doubt in the cuts; only the last fit needs all of them, the others one chunk in `every`.
 */
export function fitCuts(
  found: Trace, strip: PlaneMap, lens: LensMap | null, fit: (paths: readonly TracedPath[], last: Solution | null, doubt: number, every: number) => Solution | null,
): FittedCuts {
  let traced = relocate(found, (chunk) => predictedOffset(found.shift, chunk), THINNED);
  let solution = fit(traced.paths, null, 1, THINNED);
  let presence: Presence | null = null;
  for (let pass = 0; solution && pass < RELOCATIONS; pass++) {
    const expected = expectation(solution, strip, mapOf(solution, lens));
    const last = pass === RELOCATIONS - 1;
    const every = last ? 1 : THINNED;
    // From where each was found by itself: what a fit on the way did not find is not lost for the last.
    traced = relocate(found, expected, every);
    if (last) presence = presenceOf(traced.paths, traced.grid, expected);
    const doubt = presence ? Math.hypot(1, (PULL * presence.background) / presence.strength) : 1;
    solution = fit(traced.paths, solution, doubt, every);
  }
  const plainly = presence !== null && standsOutPlainly(presence);
  return { solution, paths: traced.paths, presence, scattered: solution !== null && isScattered(traced.paths, expectation(solution, strip, mapOf(solution, lens)), plainly) };
}

/** Where a solution expects the cuts in strips that were sampled under an earlier view. */
function expectation({ cut, edgeBias, data: { datum, frame } }: Solution, strip: PlaneMap, map: PlaneMap): Expectation {
  return (chunk, path) => {
    const { x, y, nx, ny, tx, ty, curvature } = chunk;
    const d = displacement(cut, datum, frame.print.half, { x, y });
    const seen = map.toPicture({ x: x + d.x, y: y + d.y });
    const p = seen && strip.toPrint(seen);
    if (!p) return null;
    const [across, along] = [(nx * (p.x - x) + ny * (p.y - y)) / (Math.hypot(nx, ny) || 1), tx * (p.x - x) + ty * (p.y - y)];
    // Where a bent path that is shifted crosses its old normal (as in equations.ts): a small hole moved by a millimetre is met a tenth nearer.
    return across - 0.5 * curvature * along * along + biasOf(path, chunk, edgeBias);
  };
}
