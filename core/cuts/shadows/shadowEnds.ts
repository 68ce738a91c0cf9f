import { medianOf } from "../../statistics/median.ts";
import { byDirection, directionOf } from "../directions.ts";
import { meanBetween } from "../profile/profileFit.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** How far from an edge its sides are looked at, in widths of its profile, and over which length, mm: clear of its blur, within a narrow shadow. */
const CLEAR_OF = 2;
const BESIDE = 0.25;
/** Where the piece's face is looked at, mm inside of the edge: clear of a shadow's width. */
const FACE = [2, 2.6] as const;
/** At a shadow's end the light just inside is darker than the face by so much of the step at least. Print that is so dark there is taken for a shadow too, which costs no more than a second look. */
const DARKER = 0.2;
/** A direction is told by so many chunks. */
const FEWEST = 3;
/** What a hard shadow beside it leaves to the place of a face's edge, mm (standard uncertainty, alike all along a side; common practice, no source). */
export const IN_SHADOW = 0.15;
/** A band inside the edge along so much of the outline is the piece's own print: a shadow lies on the sides away from the light. */
const ALL_ROUND = 0.75;

/**
 * The directions (see directions.ts) in which what was found of a stripped piece's outline may be the end of its shadow: hard light from one side throws one on the table, whose end shows the more
 * plainly the less the face differs from it. Between the face and that end lies a band that is darker than both.
 */
export function shadowEnds(path: Pick<TracedPath, "chunks" | "away" | "width">, grid: StripGrid): ReadonlySet<number> {
  const told = byDirection(path.chunks.filter((c) => c.found)).map((some) => some.map(({ chunk, t }) => darkerInside(chunk, grid, t, path.away, path.width)).filter((darker) => !Number.isNaN(darker)));
  const shaded = [...told.keys()].filter((k) => told[k].length >= FEWEST && medianOf(told[k]) > DARKER);
  const length = (directions: readonly number[]): number => path.chunks.reduce((sum, { chunk }) => sum + (directions.includes(directionOf(chunk)) ? chunk.length : 0), 0);
  return new Set(length(shaded) > ALL_ROUND * length([...told.keys()].filter((k) => told[k].length > 0)) ? [] : shaded);
}

/** By how much the light just inside an edge at t is darker than the face, as a share of the step at the edge; NaN where it is no darker than what lies beyond, or is not seen. */
function darkerInside(chunk: Pick<Chunk, "profile">, grid: StripGrid, t: number, away: number, width: number): number {
  const level = (from: number, to: number): number => meanBetween(chunk, grid, t + away * from, t + away * to);
  const inside = level(-CLEAR_OF * width - BESIDE, -CLEAR_OF * width);
  const face = level(-FACE[1], -FACE[0]);
  const beyond = level(CLEAR_OF * width, CLEAR_OF * width + BESIDE);
  // In whatever mix of colours, what is darker lies nearer to nothing.
  if (!(Math.abs(inside) < Math.abs(beyond))) return NaN;
  return (face - inside) / (beyond - inside);
}
