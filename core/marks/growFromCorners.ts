import { grow, pairsText, type Hypothesis } from "./grow.ts";
import { fitLayout, layoutFrame, predictPoint, type Sighting } from "./layoutFit.ts";
import type { Lineup } from "./lineup.ts";

/** So many marks whose places are foretold best are each tried with every patch that may be them. */
const FORETOLD = 4;
/** Standard deviations of the predicted place within which a patch may be a mark. */
const GATE = 3;

/**
 * Ways to see the layout that begin at four corners, best first: a code's, known to a pixel or so, or the sheet's own. From a code, which is many times smaller than the layout, only the marks next to it
 * are foretold; the sheet is not cut to its print as exactly as marks lie. So each patch that may be one of the marks foretold best is tried, and the view grown from there.
 *
 * @param corners in print and picture.
 */
export function growFromCorners(lineup: Lineup, picture: { width: number; height: number }, corners: readonly Sighting[]): Hypothesis[] {
  const frame = layoutFrame(lineup.marks, picture);
  const rough = fitLayout(frame, corners);
  if (!rough) return [];
  const foretold = lineup.marks.map((mark, i) => ({ mark: i, ...predictPoint(rough, mark) })).sort((p, q) => p.xx + p.yy - q.xx - q.yy).slice(0, FORETOLD);
  const seeds = foretold.flatMap(({ mark, x, y, xx, yy }) => lineup.near(mark, x, y, GATE * Math.sqrt(xx + yy)).map((candidate) => [{ mark, candidate }]));
  const grown = [[], ...seeds].map((seed) => grow(lineup, frame, picture, seed, corners)).filter((h) => h !== null).sort((p, q) => q.logOdds - p.logOdds);
  // Most seeds grow to the same view: the best of each.
  const views = grown.map((h) => pairsText(h.pairs));
  return grown.filter((_, i) => views.indexOf(views[i]) === i);
}
