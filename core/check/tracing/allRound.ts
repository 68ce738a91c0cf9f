import { directionOf } from "../../cuts/directions.ts";
import { isSlit } from "../../cuts/evidence/evidence.ts";
import type { CoarseShift } from "../../cuts/register.ts";
import { hasSecondLine } from "../../cuts/evidence/secondLine.ts";
import type { StripGrid } from "../../cuts/strips/strip.ts";
import type { TracedPath } from "../../cuts/trace.ts";
import { medianOf } from "../../statistics/median.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import { displacement } from "../fit/cutMap.ts";
import { estimateOf } from "../uncertainty/estimate.ts";
import { meanPlace } from "../uncertainty/lipResponse.ts";
import type { Solution } from "../fit/solution.ts";

/** What lies off by less, mm, melts with the slit. */
const LEAST = 0.4;
/** So alike, as a share of that, and to so much, mm, beside what all of it is shifted by. */
const ALIKE = 0.15;
const SHIFTED = 0.1;
/** So many chunks that face so many ways tell it. */
const FEWEST = 30;
const WAYS = 3;

/** What was found, and where all of it is. */
interface Found {
  readonly solution: Solution;
  readonly paths: readonly TracedPath[];
}

/**
 * Whether what was found may be a line that is printed along all of the cut, with the slit beside it: it looks like a cut that is larger or smaller than drawn, and where one would be that is not there is a line too.
 */
export function mayBePrinted({ solution, paths }: Found, grid: StripGrid): boolean {
  return liesOffAllRound(solution, paths) && hasSecondLine(paths, asDrawn(solution), grid);
}

/** Whether the slits lie off to the inside or to the outside by much, and alike, all round their pieces. A cut that is stretched lies off by the more the longer its piece is that way, but on one that is about as long as wide it looks the same. */
function liesOffAllRound({ cut, data: { datum, frame } }: Solution, paths: readonly TracedPath[]): boolean {
  const seen = paths.flatMap((path) => (isSlit(path) && path.away !== 0 && !path.moved ? path.chunks.flatMap((c) => (c.found ? [{ chunk: c.chunk, away: path.away }] : [])) : []));
  const off = seen.map(({ chunk, away }) => {
    const d = displacement(cut, datum, frame.print.half, chunk);
    return away * (chunk.nx * d.x + chunk.ny * d.y);
  });
  const middle = Math.abs(medianOf(off));
  const ways = new Set(seen.map(({ chunk }) => directionOf(chunk)));
  return off.length >= FEWEST && ways.size >= WAYS && middle > LEAST && robustSigma(off.map((v) => Math.abs(v) - middle)) < ALIKE * middle + SHIFTED;
}

/** Where a solution has cuts that are as large as drawn and do not lean: about their middle, which a line printed along all of them leaves where it is. */
function asDrawn(solution: Solution): CoarseShift {
  const { cut, data: { cuts, datum, frame } } = solution;
  const about = meanPlace(cuts.map((c) => c.print));
  const { x, y } = displacement(cut, datum, frame.print.half, about);
  const turn = estimateOf(solution).rotation / 1000;
  return { about, terms: Float64Array.of(x, y, 0, -turn, turn, 0) };
}
