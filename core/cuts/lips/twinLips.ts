import { isSlit } from "../evidence/evidence.ts";
import { byDirection } from "../directions.ts";
import { poolRows, rowAbout } from "../profile/pool.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** How far from a lip its slit lies and the other lip may lie, mm (common practice, no source). */
const REACH = 0.8;
/** Over the lip's own height: how far the slit between two lips lies below the ground at least, and how far the other one above it. */
const DARK = 0.15;
const OTHER = 0.25;

/**
 * Whether what was found as bright slits is one of two lips, with the slit between them: torn edges of a pale core lie on both sides of a dark groove, and the brighter one is found. Told by the profiles of all chunks of a
 * direction laid on each other, in most directions; where blur melts lips and slit into one line, nothing is.
 */
export function haveTwinLips(paths: readonly TracedPath[], grid: StripGrid): boolean {
  const bright = paths.filter(isSlit).flatMap(({ chunks }) => chunks.filter((c) => c.found && c.share > 0 && !c.chunk.own));
  const half = Math.round(REACH / grid.step);
  const told = byDirection(bright).flatMap((chunks) => {
    const pooled = poolRows(chunks.map(({ chunk, t }) => rowAbout(chunk, t, grid, half)).filter((row) => row !== null));
    return pooled ? [isTwin(pooled.profile)] : [];
  });
  return told.length > 0 && 2 * told.filter(Boolean).length > told.length;
}

/** Whether a profile about a bright line shows a dark one beside it, and another bright one beyond that. */
function isTwin(profile: Float64Array): boolean {
  const half = profile.length >> 1;
  const ground = Math.min(profile[0], profile[profile.length - 1]);
  const height = profile[half] - ground;
  return ([1, -1] as const).some((way) => {
    const beside = Array.from({ length: half }, (_, i) => profile[half + way * (i + 1)]);
    const darkest = beside.indexOf(Math.min(...beside));
    return beside[darkest] < ground - DARK * height && Math.max(...beside.slice(darkest)) > ground + OTHER * height;
  });
}
