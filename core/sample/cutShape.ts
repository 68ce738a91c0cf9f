import type { Job } from "../job/schema.ts";
import { pathFields, type PathField } from "./pathField.ts";

/** The cuts of a job as distance fields, and which of them take material away. Nominal cut coordinates, mm. */
export interface CutShape {
  /** Seen as slits or creases in the board. */
  readonly lines: readonly PathField[];
  /** Closed outlines that material is left within (stripped pieces); empty: the sheet itself. */
  readonly pieces: readonly PathField[];
  /** Closed outlines whose inside is gone (lost slugs, windows). */
  readonly holes: readonly PathField[];
}

/** @param reach how far from a slit or crease it is seen, mm */
export function cutShape(job: Job, reach: number): CutShape {
  const cuts = job.cuts.filter((c) => c.kind === "cut");
  const lines = [...cuts, ...job.cuts.filter((c) => c.kind === "crease")].flatMap((cut) => pathFields(cut, reach));
  if (job.state === "in-sheet") {
    return { lines: lines.filter((f) => !f.circle), pieces: [], holes: cuts.filter((c) => "circle" in c).flatMap((c) => pathFields(c)) };
  }
  const closed = cuts.flatMap((c) => pathFields(c)).filter((f) => f.closed);
  const holes = closed.filter((f) => closed.some((other) => other !== f && other.area > f.area && lieWithin(f, other)));
  return { lines: lines.filter((f) => f.kind === "crease" || !f.closed), pieces: closed.filter((f) => !holes.includes(f)), holes };
}

/** Whether the middle of one outline's box lies within another outline. */
function lieWithin(inner: PathField, outer: PathField): boolean {
  return outer.distance((inner.box.x0 + inner.box.x1) / 2, (inner.box.y0 + inner.box.y1) / 2) > 0;
}
