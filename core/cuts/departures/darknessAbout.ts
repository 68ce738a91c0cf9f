import { medianOf } from "../../statistics/median.ts";
import type { TracedPath } from "../trace.ts";

/** So many chunks in place tell the usual darkness about a chunk, the nearest on either side, no further away than so many chunks: print along a path may be light here and dark there, and shows its slit so much plainer or fainter. */
const ABOUT = 4;
const WITHIN = 12;

/** How dark a path's line usually is about a chunk, as a share of the ground's light: on both sides together, and before and after it. */
export interface About {
  readonly both: number;
  readonly sides: readonly [before: number, after: number];
}

/** What is nearest to a share of what is usual about it: a slit may open or close from the one side to the other. */
export function nearestOf({ sides: [a, b] }: About, share: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), share));
}

/** How dark a path's line usually is about each of its chunks, by those in place; as dark as the whole path where there are few. */
export function darknessAbout({ chunks, closed }: TracedPath, inPlace: readonly boolean[], darkness: number): About[] {
  const n = chunks.length;
  return chunks.map((_, k) => {
    const [before, after] = ([-1, 1] as const).map((way) => {
      const near = Array.from({ length: Math.min(WITHIN, n >> 1) }, (__, i) => k + way * (i + 1)).map((i) => (closed ? (i + n) % n : i));
      return near.filter((i) => inPlace[i]).slice(0, ABOUT).map((i) => chunks[i].share);
    });
    const few = before.length + after.length < 2 * ABOUT;
    return few ? { both: darkness, sides: [darkness, darkness] } : { both: medianOf([...before, ...after]), sides: [medianOf(before), medianOf(after)] };
  });
}
