import { medianOf } from "../../statistics/median.ts";
import { FEWEST } from "../profile/pool.ts";
import type { Seen } from "./lip.ts";

/** What a chunk of a path shows; `path`: its number. */
export interface SeenOf extends Seen {
  readonly path: number;
}

/** A path that lies off the others of its direction by more than this, mm, has left its place: on ground of any tone lips do not draw one so much farther aside than another (common practice, no source). */
const DEPARTED = 0.06;

/** The chunks of one direction without those of paths that lie off the rest, where enough are left: what such a path is off would pass for what lips do to all. */
export function withoutDeparted(side: readonly SeenOf[]): SeenOf[] {
  const paths = [...new Set(side.map((c) => c.path))].map((path) => {
    const chunks = side.filter((c) => c.path === path);
    return { chunks, off: medianOf(chunks.map((c) => c.t - c.expected)) };
  });
  const usual = medianOf(paths.flatMap(({ chunks, off }) => chunks.map(() => off)));
  const left = paths.flatMap(({ chunks, off }) => (Math.abs(off - usual) <= DEPARTED ? chunks : []));
  return left.length < FEWEST ? [...side] : left;
}
