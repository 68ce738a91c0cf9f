import { grow, type Hypothesis } from "./grow.ts";
import { fitLayout, layoutFrame, predictPoint, type Sighting } from "./layoutFit.ts";
import type { Lineup } from "./lineup.ts";

/** So many marks next to the code are each tried with every patch that may be them. */
const NEXT_TO_CODE = 4;
/** Standard deviations of the predicted place within which a patch may be a mark. */
const GATE = 3;

/**
 * Ways to see the layout that begin at a code, best first. `corners`: those of the code's square in print and picture, known to a pixel or so; the layout is many times as
 * large, so that from them alone only the marks next to the code are foretold: each patch that may be one of those is tried, and the view grown from there.
 */
export function growFromCode(lineup: Lineup, picture: { width: number; height: number }, corners: readonly Sighting[]): Hypothesis[] {
  const frame = layoutFrame(lineup.marks, picture);
  const rough = fitLayout(frame, corners);
  if (!rough) return [];
  const foretold = lineup.marks.map((mark, i) => ({ mark: i, ...predictPoint(rough, mark) })).sort((p, q) => p.xx + p.yy - q.xx - q.yy).slice(0, NEXT_TO_CODE);
  const seeds = foretold.flatMap(({ mark, x, y, xx, yy }) => lineup.near(mark, x, y, GATE * Math.sqrt(xx + yy)).map((candidate) => [{ mark, candidate }]));
  return [[], ...seeds].map((seed) => grow(lineup, frame, picture, seed, corners)).filter((h) => h !== null).sort((p, q) => q.logOdds - p.logOdds);
}
