import { medianOf } from "../../statistics/median.ts";
import { directionOf, sidesOf } from "../directions.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";
import { endHeight, isMelted } from "./walled.ts";

/** A chunk found within this share of its wall's width of where it is expected has its face's edge there, and not the wall's end or the lit rim of the face. */
const IN_PLACE = 0.35;
/** A direction is told by so many of them. */
const FEWEST = 4;

/**
 * The paths with what each chunk's wall is to look like. The board's wall is as bright all along the sides that face one way, up to the light that falls there, and where blur leaves it open whether a step is the face's edge or the
 * wall's end, those chunks that are found where all cuts together expect them tell the others.
 *
 * @param expected where each path's chunks are expected, mm; null where the view does not show it.
 */
export function withWallEnds(paths: readonly TracedPath[], expected: readonly (readonly (number | null)[])[], grid: StripGrid): TracedPath[] {
  const seen = paths.flatMap((path, i) => path.chunks.flatMap((c, k) => {
    const at = expected[i][k];
    const { wall = 0, light = 1 } = c.chunk;
    if (path.look !== "step" || !c.found || at === null || isMelted(wall, path.width) || Math.abs(c.t - at) > IN_PLACE * Math.abs(wall)) return [];
    const end = endHeight(c.chunk, grid, wall, at, IN_PLACE * Math.abs(wall), path.width);
    return end === null ? [] : [{ chunk: c.chunk, end: end / light }];
  }));
  const usual = new Map(sidesOf(seen, FEWEST).map(({ direction, chunks }) => [direction, medianOf(chunks.map((c) => c.end))]));
  if (usual.size === 0) return [...paths];
  return paths.map((path) => (path.look !== "step" ? path : {
    ...path,
    chunks: path.chunks.map((c) => {
      const end = c.chunk.wall ? usual.get(directionOf(c.chunk)) : undefined;
      return end === undefined ? c : { ...c, chunk: { ...c.chunk, wallEnd: end * (c.chunk.light ?? 1) } };
    }),
  }));
}
