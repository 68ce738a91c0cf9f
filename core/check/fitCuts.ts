import { predictedOffset } from "../cuts/register.ts";
import { relocate, type Expectation } from "../cuts/relocate.ts";
import type { Trace, TracedPath } from "../cuts/trace.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { displacement } from "./joint.ts";
import type { Solution } from "./solve.ts";
import { planeMap, type LensMap } from "./viewModel.ts";

/** How often the cuts are located again from the fit to them. */
const RELOCATIONS = 2;

/**
 * Locates the cuts and fits view and cut to them, in turn: first from where all cuts together are expected coarsely, then from where the
 * fit expects each. `strip` is the view that the strips were sampled under; `fit` solves for given paths, from given view terms where there are some.
 */
export function fitCuts(
  found: Trace, strip: PlaneMap, lens: LensMap | null, fit: (paths: readonly TracedPath[], start: Float64Array | null) => Solution | null,
): { solution: Solution | null; paths: readonly TracedPath[] } {
  let traced = relocate(found, (chunk) => predictedOffset(found.shift, chunk));
  let solution = fit(traced.paths, null);
  for (let pass = 0; solution && pass < RELOCATIONS; pass++) {
    traced = relocate(traced, expectation(solution, strip, planeMap(solution.view, solution.data.frame, lens)));
    solution = fit(traced.paths, solution.view);
  }
  return { solution, paths: traced.paths };
}

/** Where a solution expects the cuts in strips that were sampled under an earlier view. */
function expectation({ cut, data: { datum, frame } }: Solution, strip: PlaneMap, map: PlaneMap): Expectation {
  return ({ x, y, nx, ny }) => {
    const d = displacement(cut, datum, frame.print.half, { x, y });
    const seen = map.toPicture({ x: x + d.x, y: y + d.y });
    const p = seen && strip.toPrint(seen);
    return p && (nx * (p.x - x) + ny * (p.y - y)) / (Math.hypot(nx, ny) || 1);
  };
}
