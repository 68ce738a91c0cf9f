import type { Box } from "../../geometry/polygon.ts";
import type { Cut } from "../../job/schema.ts";

/** A subpath as far as it decides on which side of it the piece lies. */
export interface Outline {
  readonly kind: Cut["kind"];
  readonly closed: boolean;
  readonly box: Box;
}

/** Whether a path lies within a closed cut: an open one there is a slit in the piece, and no part of its outline. */
export function isWithin({ box: [l, b, r, t] }: Outline, all: readonly Outline[]): boolean {
  return all.some((o) => o.closed && o.kind === "cut" && o.box[0] < l && o.box[1] < b && o.box[2] > r && o.box[3] > t);
}

/**
 * +1 where a path's normal points away from the piece (the outside of a blank), -1 where into it, 0 for an open path: a closed path inside another one cuts a
 * window, and what lost its slug in a sheet (`hole`) is one too.
 */
export function awayOf(path: Outline, all: readonly Outline[], hole: boolean): -1 | 0 | 1 {
  if (!path.closed || path.kind !== "cut") return 0;
  return hole || isWithin(path, all) ? -1 : 1;
}
