import { medianOf } from "../../statistics/median.ts";
import { cutShare } from "../evidence/cutShare.ts";
import { byDirection } from "../directions.ts";
import type { TracedPath } from "../trace.ts";

/** Share of the cuts' length along which slits are dark from which they tell that slits are dark on this sheet (common practice, no source). */
const TELLING = 0.25;
/** A line that lies further aside than this all along a direction, mm, is not the slit (common practice, no source). */
const ASIDE = 0.08;
/** Fewer pieces tell nothing of a direction. */
const FEWEST = 4;

/**
 * Paths of which only a lip is seen, torn and lit, beside a slit that does not show in dark print: a bright line on a sheet whose slits are dark, and off from where all cuts are by half of slit and lip together, on the sides
 * where the light or the blade has left it. A slit that is itself brighter than the print lies in its place.
 *
 * @param darkness by path, the line's usual amplitude as a share of the ground's light; null where it is no line, or not known.
 * @param places by path, where each chunk's cut is expected, mm.
 */
export function lipsAlone(paths: readonly TracedPath[], darkness: readonly (number | null)[], places: readonly (readonly (number | null)[])[]): boolean[] {
  const slitsAreDark = cutShare(paths, (_, i) => (darkness[i] ?? 0) < 0) > TELLING;
  return paths.map((path, i) => path.kind === "cut" && (darkness[i] ?? 0) > 0 && slitsAreDark && isAside(path, places[i]));
}

function isAside({ chunks }: TracedPath, places: readonly (number | null)[]): boolean {
  const off = chunks.flatMap(({ chunk, found, t }, k) => {
    const at = places[k];
    return found && at !== null ? [{ chunk, by: t - at }] : [];
  });
  return byDirection(off).some((some) => some.length >= FEWEST && Math.abs(medianOf(some.map((o) => o.by))) > ASIDE);
}
