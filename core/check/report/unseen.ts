import { runsOf } from "../../cuts/departures/runs.ts";
import { isShortSlit } from "../../cuts/departures/shortSlits.ts";
import type { TracedPath } from "../../cuts/trace.ts";

/** A piece of a cut along which it was not seen: its length and its middle chunk's place, mm. */
export interface Unseen {
  readonly feature: string;
  readonly length: number;
  readonly x: number;
  readonly y: number;
  /** The knife may have left its path: so much of it is not in its place though it would show there, or the cut leads away from its path into it. */
  readonly mayHaveLeft: boolean;
}

/** A knife leaves its path and comes back within a few centimetres: shorter than this, mm, it would have been seen to leave on one side or the other. */
const HIDES = 20;
/** Where so much of it, mm, is not in its place though it would show there, the knife may have left its path. */
const MISSING = 15;

/** The same of a short slit of which nothing was found: of what was looked at, this share would show. */
const GONE = 0.5;

/** The pieces of the cuts, without a gap and long enough for a knife to have left its path, and the short slits, along which nothing was seen of them. */
export function unseenPieces(paths: readonly TracedPath[]): Unseen[] {
  return paths.filter((path) => path.kind === "cut").flatMap((path) => {
    const { feature, chunks, closed } = path;
    const found = chunks.map((c) => c.found);
    const looked = chunks.filter((c) => c.chunk.stations > 0);
    const gone = isShortSlit(path) && !found.includes(true) && looked.filter((c) => c.missing).length > GONE * looked.length;
    return runsOf(found.map((f) => !f), found, closed).flatMap((run) => {
      const length = run.reduce((sum, k) => sum + chunks[k].chunk.length, 0);
      const { x, y } = chunks[run[run.length >> 1]].chunk;
      const missing = run.reduce((sum, k) => sum + (chunks[k].missing ? chunks[k].chunk.length : 0), 0);
      const n = chunks.length;
      const ends = [run[0] - 1, run[run.length - 1] + 1].map((k) => (closed ? (k + n) % n : k));
      const leads = [...ends, ...run].some((k) => chunks[k]?.astray);
      return gone || length >= HIDES - 1e-6 ? [{ feature, length, x, y, mayHaveLeft: gone || leads || missing >= MISSING - 1e-6 }] : [];
    });
  });
}
