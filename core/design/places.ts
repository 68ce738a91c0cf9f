import Flatbush from "flatbush";
import type { PrintPoint } from "../geometry/frames.ts";
import { boxOf, distanceToSegment, encloses, type Box } from "../geometry/polygon.ts";
import type { Job } from "../job/schema.ts";
import { flatCut } from "./subpaths.ts";

export interface PlaceWish {
  /** Radius that must be free of cuts, creases, codes and what is to be avoided: the thing's own reach and its clear zone, mm. */
  readonly radius: number;
  /** Its own reach and the margin that printing presses and grippers need at the sheet's edge, mm. */
  readonly fromEdge: number;
  /** Boxes of artwork to be kept out of, mm. */
  readonly avoid?: readonly Box[];
  /** Other things on the sheet with their own radius (marks that stay). */
  readonly others?: ReadonlyArray<PrintPoint & { readonly radius: number }>;
  /** On sheets with the pieces in, marks may stand on the pieces too; else in the waste only. Stripped pieces have nothing else. */
  readonly onPieces?: boolean;
}

/** About this many places are looked at. */
const PLACES = 3000;
/** A code's quiet zone as a share of its side: four modules of a small symbol. */
const QUIET = 0.2;

/** Places on a grid over the sheet where something of this size may stand, clear of everything. */
export function freePlaces(job: Job, wish: PlaceWish): PrintPoint[] {
  const isFree = freeSpace(job, wish);
  const { width, height } = job.sheet;
  const [w, h] = [width - 2 * wish.fromEdge, height - 2 * wish.fromEdge];
  if (!(w >= 0 && h >= 0)) return [];
  const step = Math.max(0.5, Math.sqrt((w * h) / PLACES));
  const along = (length: number) => {
    const steps = Math.floor(length / step) + 1;
    return Array.from({ length: steps + 1 }, (_, i) => wish.fromEdge + (length * i) / steps);
  };
  const [xs, ys] = [along(w), along(h)];
  return ys.flatMap((y) => xs.map((x) => ({ x: Math.round(x * 100) / 100, y: Math.round(y * 100) / 100 }))).filter(isFree);
}

/** Whether something of this size may stand at a place. */
export function freeSpace(job: Job, wish: PlaceWish): (p: PrintPoint) => boolean {
  const lines = job.cuts.flatMap((cut) => flatCut(cut).subpaths);
  const rings = job.cuts.filter((c) => c.kind === "cut").flatMap((cut) => flatCut(cut).subpaths).filter((s) => s.closed);
  const segments = lines.flatMap((s) => s.points.slice(0, s.closed ? undefined : -1).map((a, i) => [a, s.points[(i + 1) % s.points.length]] as const));
  const near = indexOf(segments.map(([a, b]) => [Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y)]));
  const around = indexOf(rings.map((r) => boxOf(r.points)));
  const boxes = [...(wish.avoid ?? []), ...job.codes.map((c): Box => {
    const half = c.size * (0.5 + QUIET);
    return [c.x - half, c.y - half, c.x + half, c.y + half];
  })];
  const { radius, fromEdge } = wish;
  const inside = (p: PrintPoint) => around(p, 0).filter((i) => encloses(rings[i].points, p)).length;
  return (p) => {
    if (p.x < fromEdge || p.y < fromEdge || p.x > job.sheet.width - fromEdge || p.y > job.sheet.height - fromEdge) return false;
    if ((wish.others ?? []).some((o) => Math.hypot(o.x - p.x, o.y - p.y) < radius + o.radius)) return false;
    if (boxes.some(([l, b, r, t]) => Math.hypot(Math.max(l - p.x, 0, p.x - r), Math.max(b - p.y, 0, p.y - t)) < radius)) return false;
    if (near(p, radius).some((i) => distanceToSegment(p, ...segments[i]) < radius)) return false;
    // Board is where an even number of outlines lies around (the waste), or an odd one (a piece); inside two a window's slug may be gone.
    const depth = inside(p);
    return job.state === "stripped" ? depth === 1 : depth === 0 || (wish.onPieces === true && depth === 1);
  };
}

function indexOf(boxes: readonly Box[]): (p: PrintPoint, reach: number) => number[] {
  if (boxes.length === 0) return () => [];
  const index = new Flatbush(boxes.length);
  for (const box of boxes) index.add(...box);
  index.finish();
  return (p, r) => index.search(p.x - r, p.y - r, p.x + r, p.y + r);
}
