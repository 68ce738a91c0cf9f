import { isSlit } from "./evidence.ts";
import { medianOf } from "../../statistics/median.ts";
import { directionOf, sidesOf } from "../directions.ts";
import { predictedOffset, registerPaths, type CoarseShift, type SeenPath } from "../register.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** One blade has cut all of a sheet: a side that is so many times as dark, over its ground, as most are is something printed (common practice, no source: light from the side makes up for two). */
const DARKEST = 2.5;
/** A side is told by so many chunks. */
const FEWEST = 8;
/** It lies beside where the other sides have the cut by more than so many widths of the profile. */
const ASIDE = 2;

/**
 * The paths without the sides on which a line that is printed beside the cut was taken for its slit: one that runs along all of a piece hides a faint slit from a search, and one such side in four stretches the cut to it. It is darker than the
 * slits of the other sides, and lies beside where these have the cut. With them where all cuts together are by the other sides.
 */
export function withoutPrintedLines(traced: readonly TracedPath[], seen: readonly SeenPath[], shift: CoarseShift, grid: StripGrid): { readonly paths: readonly TracedPath[]; readonly shift: CoarseShift } {
  const found = traced.map((path) => (isSlit(path) ? path.chunks.filter((c) => c.found) : []));
  const usual = medianOf(found.flatMap((chunks) => chunks.map((c) => c.share)));
  const printed = found.flatMap((chunks, path) => sidesOf(chunks, FEWEST).filter((side) => medianOf(side.chunks.map((c) => c.share)) / usual > DARKEST).map((side) => ({ ...side, path })));
  const count = (some: readonly { readonly length: number }[]): number => some.reduce((sum, { length }) => sum + length, 0);
  if (printed.length === 0 || 2 * count(printed.map((side) => side.chunks)) > count(found)) return { paths: traced, shift };
  const isOf = (sides: typeof printed, chunk: Chunk, path: number): boolean => sides.some((side) => side.path === path && side.direction === directionOf(chunk));
  const byOthers = registerPaths(seen, grid, (chunk, i) => !isOf(printed, chunk, i));
  const aside = printed.filter(({ path, chunks }) => Math.abs(medianOf(chunks.map((c) => c.t - predictedOffset(byOthers, c.chunk)))) > ASIDE * traced[path].width);
  if (aside.length === 0) return { paths: traced, shift };
  return { paths: traced.map((path, i) => ({ ...path, chunks: path.chunks.map((c) => (isOf(aside, c.chunk, i) ? { ...c, found: false } : c)) })), shift: byOthers };
}
