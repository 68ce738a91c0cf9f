import { reduce, toFull } from "../../image/reduce.ts";
import type { Picture } from "../../image/picture.ts";
import { samplerOf } from "../../image/sampler.ts";
import type { Vision } from "../../image/vision.ts";
import type { TargetPoint } from "../calibrate/model.ts";
import { isSeen, project, toPicture, toPrint, type View } from "../view.ts";
import { type BoardCorner, cornersOf } from "./board.ts";
import { refineCorner } from "./corner.ts";
import type { FoundTarget } from "./findDots.ts";
import { roughView, type Sighting } from "./seen.ts";
import type { BoardTarget } from "./target.ts";

/** Longer sides, px, of the copies on which markers are looked for: the second where they are too small on the first. */
const COPIES = [1600, 3200];
/** Fewer corners than this give no view from which the others could be found. */
const FEWEST_READ = 6;
/** Fewer points than this say too little of a picture. */
const FEWEST = 12;

/**
 * Finds a ChArUco board, or the part of one that a picture shows, and measures its corners to sub-pixel. The vision library reads the markers on a smaller
 * copy and says which corner is which; then every corner within the picture is measured at full size, also those whose markers were not read.
 */
export function findBoard(picture: Picture, target: BoardTarget, vision: Vision): FoundTarget {
  const corners = cornersOf(target);
  const read = readCorners(picture, target, corners, vision);
  if (read.length < FEWEST_READ) return { ok: false, reason: `only ${read.length} corners of the board were recognised` };
  let view = roughView(read, picture.width, picture.height);
  if (!view) return { ok: false, reason: "the corners that were recognised lie in one line" };
  const sampler = samplerOf(picture);
  const free = Math.SQRT1_2 * (target.square - target.marker);
  let measured = new Map<number, Sighting>();
  for (let round = 0; round < 8; round++) {
    const next = new Map<number, Sighting>();
    const through: View = view;
    const map = { toPicture: (p: { x: number; y: number }) => toPicture(through, p), toPrint: (q: { x: number; y: number }) => toPrint(through, q) };
    for (const corner of corners) {
      // What was seen says better where to look than what is only expected.
      const seen = measured.get(corner.id) ?? (round === 0 ? read.find((s) => s.id === corner.id) : undefined);
      const start = seen?.at ?? (round > 0 && isSeen(through, corner, read[0]) ? project(through, corner.x, corner.y) : null);
      const refined = start && refineCorner(sampler, corner, map, start, free);
      if (refined?.ok) next.set(corner.id, { x: corner.x, y: corner.y, at: refined.at });
    }
    const better = roughView([...next.values()], picture.width, picture.height);
    const grown = next.size > measured.size;
    measured = next;
    if (!better || (round > 0 && !grown)) break;
    view = better;
  }
  const points = [...measured.values()].map(({ x, y, at }): TargetPoint => ({ x, y, u: at.x, v: at.y }));
  if (points.length < FEWEST) return { ok: false, reason: `only ${points.length} corners of the board could be measured: it is hidden, blurred or too small in the picture` };
  return { ok: true, points };
}

function readCorners(picture: Picture, target: BoardTarget, corners: readonly BoardCorner[], vision: Vision): (Sighting & { readonly id: number })[] {
  let tried = 0;
  for (const side of COPIES) {
    const factor = Math.max(1, Math.ceil(Math.max(picture.width, picture.height) / side));
    if (factor === tried) break;
    tried = factor;
    const copy = reduce(picture, factor);
    const seen = vision.boardCorners(copy, target);
    if (seen.length < FEWEST_READ) continue;
    return seen.map(({ id, at }) => ({ id, x: corners[id].x, y: corners[id].y, at: { x: toFull(copy, at.x), y: toFull(copy, at.y) } }));
  }
  return [];
}
