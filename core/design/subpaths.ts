import { flattenCut, type Subpath } from "../job/paths.ts";
import type { Cut } from "../job/schema.ts";
import { stretches, type Stretch } from "../job/walk.ts";

/** Curves are followed to this, mm: a prediction needs no more. */
const COARSE = 0.05;

/** A cut's subpaths with their stretches. Kept as long as the cut is: designs look at the same cuts again and again with other marks. */
export interface FlatCut {
  readonly subpaths: readonly Subpath[];
  readonly stretches: readonly Stretch[];
}

const known = new WeakMap<Cut, FlatCut>();

/** The cut flattened, once. */
export function flatCut(cut: Cut): FlatCut {
  let flat = known.get(cut);
  if (!flat) {
    const subpaths = flattenCut(cut, COARSE);
    flat = { subpaths, stretches: subpaths.flatMap((s) => stretches(s)) };
    known.set(cut, flat);
  }
  return flat;
}
