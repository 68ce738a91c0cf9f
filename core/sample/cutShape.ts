import type { Job } from "../job/schema.ts";
import { pathFields, type NearestPlace, type PathField } from "./pathField.ts";

/** The cuts of a job as distance fields, and which of them take material away. Nominal cut coordinates, mm. */
export interface CutShape {
  /** Seen as slits or creases in the board. */
  readonly lines: readonly PathField[];
  /** Closed outlines that material is left within (stripped pieces); empty: the sheet itself. */
  readonly pieces: readonly PathField[];
  /** Closed outlines whose inside is gone (lost slugs, windows). */
  readonly holes: readonly PathField[];
}

export function cutShape(job: Job): CutShape {
  const fields = job.cuts.flatMap((cut) => pathFields(cut));
  const creases = fields.filter((f) => f.kind === "crease");
  const cuts = fields.filter((f) => f.kind === "cut");
  if (job.state === "in-sheet") {
    return { lines: [...cuts.filter((f) => !f.circle), ...creases], pieces: [], holes: cuts.filter((f) => f.circle) };
  }
  const closed = cuts.filter((f) => f.closed);
  const holes = closed.filter((f) => closed.some((other) => other !== f && other.area > f.area && lieWithin(f, other)));
  return { lines: [...cuts.filter((f) => !f.closed), ...creases], pieces: closed.filter((f) => !holes.includes(f)), holes };
}

/** Whether the middle of one outline's box lies within another outline. */
function lieWithin(inner: PathField, outer: PathField): boolean {
  const place: NearestPlace = { d: 0, s: 0, nx: 0, ny: 0 };
  outer.at((inner.box.x0 + inner.box.x1) / 2, (inner.box.y0 + inner.box.y1) / 2, place);
  return place.d > 0;
}
