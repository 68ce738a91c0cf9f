import type { PlaneMap } from "../../marks/localMap.ts";
import { MARK_PRINT } from "../uncertainty/budget.ts";
import type { MarkSighting } from "../fit/equations.ts";
import { mapOf } from "../view/nuisancesOf.ts";
import type { Placed } from "./place.ts";
import { refineUnder } from "./sightings.ts";
import type { Solution } from "../fit/solution.ts";
import type { Subject } from "../subject.ts";
import { scaleOf } from "../view/viewModel.ts";

/** What no residual of a single mark shows, px: on drawn marks of little noise centres lie off by no more (tests/bench/centring.ts). */
export const FLOOR_PX = 0.005;

/** The marks that were seen as the joint fit takes them: before a known lens, each with its own covariance. */
export function markSightings({ job, lens }: Pick<Subject, "job" | "lens">, placed: Placed): MarkSighting[] {
  const pxPerMm = scaleOf(placed.start, placed.frame);
  return placed.seen.flatMap(({ mark, refined }) => {
    const seen = lens ? lens.undistort(refined.at) : refined.at;
    if (!seen) return [];
    const { xx, xy, yy } = refined.covariance;
    // What no residual of a single mark shows: the pixel grid, the print's own place.
    const floor = FLOOR_PX ** 2 + (MARK_PRINT * pxPerMm) ** 2;
    return [{ mark, print: { x: job.marks[mark].x, y: job.marks[mark].y }, seen, covariance: { xx: xx + floor, xy, yy: yy + floor } }];
  });
}

/** The marks in the picture. */
export interface Sighted {
  readonly placed: Placed;
  readonly marks: readonly MarkSighting[];
}

/** The view by the marks alone. Marks that the rough view has drawn off are refined under it, and it is found again. */
export function viewByMarks(subject: Subject, rough: Placed, solveWith: (sighted: Sighted) => Solution | null): Sighted & { readonly viewed: Solution | null } {
  const first = { placed: rough, marks: markSightings(subject, rough) };
  const viewed = solveWith(first);
  if (!viewed) return { ...first, viewed };
  const again = sightedUnder(subject, first, rough.map, mapOf(viewed, subject.lens));
  return { ...again, viewed: again === first ? viewed : solveWith(again) };
}

/** The marks refined anew where `view` bends their outlines otherwise than the view they were refined under; what was given where it does so nowhere. */
export function sightedUnder(subject: Subject, before: Sighted, refinedUnder: PlaneMap, view: PlaneMap): Sighted {
  const seen = refineUnder(subject.picture, subject.sampler, subject.job, before.placed.seen, refinedUnder, view);
  if (seen.every((s, i) => s === before.placed.seen[i])) return before;
  const placed = { ...before.placed, seen };
  return { placed, marks: markSightings(subject, placed) };
}
