import { isSlit } from "./evidence.ts";
import { medianOf } from "../statistics/median.ts";
import { byDirection, directionOf } from "./directions.ts";
import { predictedOffset, registerCoarsely, type CoarseShift, type Sight } from "./register.ts";
import type { StripGrid } from "./strip.ts";
import type { TracedChunk, TracedPath } from "./trace.ts";

/** One blade has cut all of a sheet: a side that is so many times as dark, over its ground, as most are is something printed (common practice, no source: light from the side makes up for two). */
const DARKEST = 2.5;
/** A side is told by so many chunks. */
const FEWEST = 8;
/** It lies beside where the other sides have the cut by more than so many widths of the profile. */
const ASIDE = 2;

/** What a path was traced from. */
interface Seen {
  readonly cut: { readonly kind: "cut" | "crease" };
  readonly sight: Sight;
}

/** The found chunks of a path that face one way. */
interface Side {
  readonly path: number;
  readonly direction: number;
  readonly chunks: readonly TracedChunk[];
}

/**
 * The paths without the sides on which a line that is printed beside the cut was taken for its slit: one that runs along all of a piece hides a faint slit from a search, and one such side in four stretches the cut to it. It is darker than the
 * slits of the other sides, and lies beside where these have the cut. With them where all cuts together are by the other sides.
 */
export function withoutPrintedLines(traced: readonly TracedPath[], seen: readonly Seen[], shift: CoarseShift, grid: StripGrid): { readonly paths: readonly TracedPath[]; readonly shift: CoarseShift } {
  const sides = traced.flatMap((path, i) => (isSlit(path) ? sidesOf(path, i) : []));
  const shares = sides.flatMap((side) => side.chunks.map((c) => c.share));
  const usual = medianOf(shares);
  const printed = sides.filter(({ chunks }) => chunks.length >= FEWEST && medianOf(chunks.map((c) => c.share)) / usual > DARKEST);
  if (printed.length === 0 || 2 * printed.reduce((sum, side) => sum + side.chunks.length, 0) > shares.length) return { paths: traced, shift };
  const isPrinted = (among: readonly Side[], path: number, chunk: { readonly nx: number; readonly ny: number }): boolean => among.some((side) => side.path === path && side.direction === directionOf(chunk));
  const others = seen.flatMap(({ cut, sight }, i) => (cut.kind === "cut" ? sight.witnesses.filter((w) => !isPrinted(printed, i, w.chunk)) : []));
  const byOthers = registerCoarsely(others, grid);
  const aside = printed.filter(({ path, chunks }) => Math.abs(medianOf(chunks.map((c) => c.t - predictedOffset(byOthers, c.chunk)))) > ASIDE * traced[path].width);
  if (aside.length === 0) return { paths: traced, shift };
  return { paths: traced.map((path, i) => ({ ...path, chunks: path.chunks.map((c) => (isPrinted(aside, i, c.chunk) ? { ...c, found: false } : c)) })), shift: byOthers };
}

function sidesOf({ chunks }: TracedPath, path: number): Side[] {
  return byDirection(chunks.filter((c) => c.found)).flatMap((some, direction) => (some.length > 0 ? [{ path, direction, chunks: some }] : []));
}
