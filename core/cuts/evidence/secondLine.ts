import { isSlit } from "./evidence.ts";
import { fitAt } from "../locate.ts";
import { lineAt, lineStrength, withoutLine } from "./presence.ts";
import { predictedOffset, type CoarseShift } from "../register.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** Nearer to each other than so many widths of the profile two lines are not told apart. */
const APART = 2;
/** How plainly there must be a second line, in standard errors, and so many times as plainly as on the other side of the first: what is left of that once it is taken out lies on both. */
const PLAINLY = 14;
const TIMES = 4;

/**
 * Whether a dark line runs along the cuts where they would be by `where` too, besides that which was found: one of the two is printed. What was found is taken out of the profiles first, and what they show as far on its other
 * side, where there is no line, says how much of that is left.
 */
export function hasSecondLine(paths: readonly TracedPath[], where: CoarseShift, grid: StripGrid): boolean {
  const looks = paths.filter(isSlit).flatMap(({ chunks, width }) => chunks.flatMap((c) => {
    const away = predictedOffset(where, c.chunk) - c.t;
    const at = c.t - c.bias;
    const found = c.found && Math.abs(away) > APART * width ? fitAt(c.chunk, grid, "line", at, width) : null;
    if (!found) return [];
    const chunk = withoutLine(c.chunk, grid, at, width, found.amplitude);
    return [{ there: lineAt(chunk, grid, at + away, width, false), mirrored: lineAt(chunk, grid, at - away, width, false) }];
  }));
  const there = lineStrength(looks.map((l) => l.there));
  return there > Math.max(PLAINLY, TIMES * lineStrength(looks.map((l) => l.mirrored)));
}
