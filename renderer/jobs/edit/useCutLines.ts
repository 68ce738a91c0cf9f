import { useEffect, useState } from "react";
import type { Cut } from "../../../core/job/schema.ts";
import type { Lines } from "../canvas/lines.ts";
import type { Work } from "../worker/work.ts";

export interface CutLines {
  /** The cuts that the lines are of: owner i is the i-th. */
  readonly cuts: readonly Cut[];
  readonly lines: Lines | null;
}

/** The lines of a job's cuts. Those of an older state stay until the new ones are there; what only has another name or kind is not drawn anew. */
export function useCutLines(work: Work, cuts: readonly Cut[]): CutLines {
  const [built, setBuilt] = useState<CutLines>({ cuts: [], lines: null });
  const same = sameShapes(built.cuts, cuts);
  useEffect(() => {
    if (same) return;
    let current = true;
    void work.ask("lines", { cuts }).then((lines) => current && setBuilt({ cuts, lines }), () => current && setBuilt({ cuts, lines: null }));
    return () => {
      current = false;
    };
  }, [work, cuts, same]);
  return same ? { cuts, lines: built.lines } : built;
}

function sameShapes(a: readonly Cut[], b: readonly Cut[]): boolean {
  return a.length === b.length && a.every((cut, i) => shapeOf(cut) === shapeOf(b[i]) || JSON.stringify(shapeOf(cut)) === JSON.stringify(shapeOf(b[i])));
}

function shapeOf(cut: Cut): unknown {
  return "circle" in cut ? cut.circle : cut.path;
}
