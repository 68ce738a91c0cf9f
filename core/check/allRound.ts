import { directionOf } from "../cuts/directions.ts";
import { isSlit } from "../cuts/evidence.ts";
import type { TracedPath } from "../cuts/trace.ts";
import { medianOf } from "../statistics/median.ts";
import { robustSigma } from "../statistics/robustSigma.ts";
import { displacement } from "./cutMap.ts";
import type { Solution } from "./solution.ts";

/** What lies off by less, mm, melts with the slit. */
const LEAST = 0.4;
/** So alike, as a share of that, and to so much, mm, beside what all of it is shifted by. */
const ALIKE = 0.15;
const SHIFTED = 0.1;
/** So many chunks that face so many ways tell it. */
const FEWEST = 30;
const WAYS = 3;

/**
 * Whether the slits that were found lie off to the inside or to the outside by much, and alike, all round their pieces: so does a line that is printed along all of a cut. A cut that is stretched lies off by the more the longer its piece is that way,
 * but on one that is about as long as wide it looks the same.
 */
export function liesOffAllRound({ cut, data: { datum, frame } }: Solution, paths: readonly TracedPath[]): boolean {
  const seen = paths.flatMap((path) => (isSlit(path) && path.away !== 0 && !path.moved ? path.chunks.flatMap((c) => (c.found ? [{ chunk: c.chunk, away: path.away }] : [])) : []));
  const off = seen.map(({ chunk, away }) => {
    const d = displacement(cut, datum, frame.print.half, chunk);
    return away * (chunk.nx * d.x + chunk.ny * d.y);
  });
  const middle = Math.abs(medianOf(off));
  const ways = new Set(seen.map(({ chunk }) => directionOf(chunk)));
  return off.length >= FEWEST && ways.size >= WAYS && middle > LEAST && robustSigma(off.map((v) => Math.abs(v) - middle)) < ALIKE * middle + SHIFTED;
}
