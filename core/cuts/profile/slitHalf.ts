import { isSlit } from "../evidence/evidence.ts";
import { band, bandMoved } from "./blurred.ts";
import { columnFit, groundsBeside, reachOf, samplesBetween } from "./profileFit.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** A slit is no narrower than twice this, mm (common practice, no source). */
const LEAST_HALF = 0.05;
/** Shares of the half width that the profile's width says, of which the likeliest is sought. */
const TRIED = [0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.15];
/** So many chunks tell it, and no fewer than these. */
const ENOUGH = 24;
const FEWEST = 6;
/** Over ground that differs by more than this share of the slit's depth on its two sides it shows its width worse. */
const ALIKE = 0.2;

/** Half the width of a slit, mm, that with the picture's blur has a profile of sigma `width`, mm: what the blur has not made is the slit's own, and a box's standard deviation is its half width over the root of three. */
export function halfOf(width: number, blur: number): number {
  return Math.max(LEAST_HALF, Math.sqrt(Math.max(0, width * width - blur * blur) * 3));
}

/**
 * Half the width of the slits as a share of what their profiles' width says. That is the width of a normal curve: one fitted to a slit that the picture resolves, which is a box, is up to a third broader than the
 * box, and of a few that were tried. One blade has cut them all; 1 where too few are seen over ground that is alike on their two sides.
 */
export function shareOfHalf(paths: readonly TracedPath[], grid: StripGrid, blur: number): number {
  const plain = paths.filter((path) => isSlit(path)).flatMap((path) => path.chunks.filter((c) => c.found && isOverEvenGround(c, path.width, grid)).map((c) => ({ c, width: path.width })));
  if (plain.length < FEWEST) return 1;
  const stride = Math.max(1, Math.floor(plain.length / ENOUGH));
  const some = plain.filter((_, k) => k % stride === 0);
  const left = TRIED.map((share) => some.reduce((sum, { c, width }) => sum + Math.log(boxLeaves(c, grid, width, share * halfOf(width, blur), blur)), 0));
  return TRIED[left.indexOf(Math.min(...left))];
}

function isOverEvenGround({ chunk, t, significance, share }: TracedChunk, width: number, grid: StripGrid): boolean {
  if (!(significance > SIGNIFICANT)) return false;
  const [left, right] = groundsBeside(chunk, grid, t, width);
  return Math.abs(left - right) < ALIKE * Math.abs(share) * ((left + right) / 2);
}
/** A slit less significant than this does not show its width. */
const SIGNIFICANT = 8;

/** Sum of squares that a box of the given half width, mm, leaves of a chunk. */
function boxLeaves({ chunk, t: at }: TracedChunk, grid: StripGrid, width: number, half: number, blur: number): number {
  const reach = reachOf("line", width) + width;
  const { t, value } = samplesBetween(chunk, grid, at - reach, at + reach, at);
  const fit = columnFit(value, [t.map(() => 1), t, t.map((x) => band(x, -half, half, blur)), t.map((x) => bandMoved(x, -half, half, blur))]);
  return (fit?.squares ?? 0) + LEAST_SQUARES;
}
/** A picture without noise still has its grey levels, linear light squared. */
const LEAST_SQUARES = 1e-7;
