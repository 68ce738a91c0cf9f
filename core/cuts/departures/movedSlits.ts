import { medianOf } from "../../statistics/median.ts";
import { SHORTEST } from "./departures.ts";
import { agreementWith, predictedOffset, registerCoarsely, type CoarseShift, type Sight } from "../register.ts";
import type { StripGrid } from "../strips/strip.ts";

/** A piece that shows at least this share of what pieces usually show elsewhere, and less than this share of that where all cuts together are, has moved there. */
const PLAINLY = 0.75;
/** Nearer than this, mm, the chain along the path finds it by itself. */
const NEAR = 0.2;

/** How cuts usually look, the place of that among the sights of each, and how plainly they show where all together are (median of their evidence there). */
export interface Usual {
  readonly sight: number;
  readonly shown: number;
}

interface Seen {
  readonly sights: readonly Sight[];
  readonly sight: Sight;
}

export function usualOf(cuts: readonly Seen[], shift: CoarseShift, grid: StripGrid): Usual {
  return {
    sight: Math.round(medianOf(cuts.map(({ sights, sight }) => sights.indexOf(sight)))),
    shown: medianOf(cuts.map(({ sight }) => shownAt(sight, shift, grid))),
  };
}

function shownAt({ weight, witnesses }: Sight, where: CoarseShift, grid: StripGrid): number {
  return weight * agreementWith(where, witnesses, grid);
}

/**
 * Where the slit of a piece lies that moved while it was cut: not where all cuts together are, but plainly elsewhere as a whole, and looking as the others do. Null for all others.
 *
 * @param shift what all cuts agree on.
 */
export function elsewhere(
  { closed, length, sight, sights }: Seen & { readonly closed: boolean; readonly length: number }, shift: CoarseShift, usual: Usual, grid: StripGrid,
): { readonly sight: Sight; readonly own: CoarseShift } | null {
  const here = shownAt(sight, shift, grid);
  const alike = sights[usual.sight];
  if (!closed || length < SHORTEST || here > PLAINLY * usual.shown || alike?.look !== "line") return null;
  const own = registerCoarsely(alike.witnesses, grid);
  const shown = shownAt(alike, own, grid);
  return shown > PLAINLY * usual.shown && here < PLAINLY * shown && apart(own, shift) > NEAR ? { sight: alike, own } : null;
}

/** How far apart two shifts have what the first is about, mm. */
function apart(own: CoarseShift, other: CoarseShift): number {
  const along = (nx: number, ny: number): number => predictedOffset(own, { ...own.about, nx, ny }) - predictedOffset(other, { ...own.about, nx, ny });
  return Math.hypot(along(1, 0), along(0, 1));
}
