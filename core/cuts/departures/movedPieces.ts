import { medianOf } from "../../statistics/median.ts";
import { cutShare } from "../evidence/cutShare.ts";
import { SHORTEST, showsAt } from "./departures.ts";
import { CLEAR, isUsual } from "../locate.ts";
import { ownShift, type OwnShift } from "./ownShift.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** A piece is known to have moved as one where at least this share of its outline is plainly seen, and this share of that lies on one shift and turn, to within ALIKE mm. */
const SEEN = 0.6;
const TOGETHER = 0.75;
const ALIKE = 0.1;
/** A piece that has not moved still shows its slit in its place along more than this share of what lies across its way. */
const IN_PLACE = 0.25;
/** So much of its outline must lie across its way. */
const TELLING = 0.25;
/** Where pieces make up more than this share of all cuts, nobody can say which have moved. */
const FEW = 0.4;

/**
 * Pieces that moved while they were cut: their whole slit lies where one shift and turn has put it, and none where the other cuts say. Artwork does not do that: the edge of a bleed lies outside all around, a printed
 * line leaves the slit in its place.
 *
 * @param places by path, where each chunk's cut is expected by what all cuts agree on, mm.
 * @returns by path, its own shift; null for one that has not moved.
 */
export function movedPieces(paths: readonly TracedPath[], places: readonly (readonly (number | null)[])[], grid: StripGrid): (OwnShift | null)[] {
  const cuts = paths.filter((p) => p.kind === "cut");
  const usual = medianOf(cuts.flatMap(({ look, chunks }) => (look === "line" ? chunks.filter(isClear).map(({ share }) => share) : [])));
  const shifts = paths.map((path, i) => shiftOf(path, places[i], grid, usual));
  return cutShare(paths, (_, i) => shifts[i] !== null) > FEW ? paths.map(() => null) : shifts;
}

function isClear({ found, significance }: TracedChunk): boolean {
  return found && significance >= CLEAR;
}

function shiftOf(path: TracedPath, places: readonly (number | null)[], grid: StripGrid, usual: number): OwnShift | null {
  if (path.kind !== "cut" || path.look !== "line" || !path.closed || path.length < SHORTEST) return null;
  const asked = path.chunks.flatMap((c, k) => {
    const at = places[k];
    return at === null ? [] : [{ c, at, x: c.chunk.x, y: c.chunk.y, nx: c.chunk.nx, ny: c.chunk.ny, measured: c.t, model: at }];
  });
  const clear = asked.filter(({ c }) => isClear(c));
  if (clear.length < SEEN * asked.length) return null;
  const darkness = medianOf(clear.map(({ c }) => c.share));
  // Slits look alike on all of the sheet; a darker line beside one is print.
  if (!isUsual(darkness, usual)) return null;
  const alike = clear.filter(({ c }) => isUsual(c.share, darkness));
  const shift = ownShift(alike, ALIKE ** 2);
  if (!shift.off || alike.filter((p) => Math.abs(p.measured - p.model - shift.at(p)) < ALIKE).length < TOGETHER * clear.length) return null;
  // Sides along which it moved lie in their place still, and tell nothing.
  const across = asked.filter((p) => Math.abs(shift.at(p)) > path.width);
  if (across.length < TELLING * asked.length) return null;
  return across.filter(({ c, at }) => showsAt(c, at, path, grid, usual)).length > IN_PLACE * across.length ? null : shift;
}
