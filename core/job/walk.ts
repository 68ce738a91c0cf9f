import type { PrintPoint } from "../geometry/frames.ts";
import { edgeLength, signedArea, type Subpath } from "./paths.ts";

/** A place on a subpath. Lengths in mm, print frame. */
export interface Station {
  /** Distance along the path from its start, mm. */
  readonly s: number;
  readonly x: number;
  readonly y: number;
  /** Unit normal: away from the enclosed area of a closed path, left of the direction of travel of an open one (contract section 1). */
  readonly nx: number;
  readonly ny: number;
  /** Unit tangent, in the direction of travel. */
  readonly tx: number;
  readonly ty: number;
  /** Distance along the path to the nearest real corner (or end of an open path), mm; Infinity where a closed path has none. */
  readonly corner: number;
}

/** A stretch of a subpath over which a deviation is averaged (contract section 1). */
export interface Stretch {
  readonly s0: number;
  readonly s1: number;
  readonly midpoint: PrintPoint;
  readonly normal: PrintPoint;
}

/** A turn of the path sharper than this is a corner, radians: 10 degrees, so that an arc drawn in short chords has none. */
const CORNER = (10 * Math.PI) / 180;

/**
 * Even stations along a subpath: its length is cut into round(length / step) equal parts (at least one) and a station
 * stands in the middle of each, so that every station speaks for the same length and none stands at the start's corner.
 */
export function walk(subpath: Subpath, step: number): Station[] {
  return stationsAlong(subpath, { s0: 0, s1: subpath.length }, Math.max(1, Math.round(subpath.length / step)));
}

/** So many stations along a stretch, each in the middle of its share of it. */
export function stationsAlong(subpath: Subpath, { s0, s1 }: Pick<Stretch, "s0" | "s1">, count: number): Station[] {
  const spacing = (s1 - s0) / count;
  return stationsAt(subpath, Array.from({ length: count }, (_, i) => s0 + (i + 0.5) * spacing));
}

/** Stretches of `length` mm laid end to end from the subpath's start; one for a shorter subpath. What is left at its end is one of its own from half of that length on, else it belongs to the one before it. */
export function stretches(subpath: Subpath, length = 10): Stretch[] {
  const count = Math.max(1, Math.round(subpath.length / length));
  const ends = Array.from({ length: count }, (_, i) => ({ s0: i * length, s1: i < count - 1 ? (i + 1) * length : subpath.length }));
  return stationsAt(subpath, ends.map(({ s0, s1 }) => (s0 + s1) / 2)).map((m, i) => ({ ...ends[i], midpoint: { x: m.x, y: m.y }, normal: { x: m.nx, y: m.ny } }));
}

/** A short part of a subpath: its middle, and the mean of the unit normals along it, which is shorter than one where the path bends. */
export interface Part {
  readonly x: number;
  readonly y: number;
  readonly nx: number;
  readonly ny: number;
}

/** Stretches laid end to end, each in `count` equal parts. The mean of a normal along a path is its chord over its length, turned by a right angle: corners and bends are in it as they are. */
export function partsOf(subpath: Subpath, all: readonly Stretch[], count: number): Part[][] {
  // Starts and middles of all parts in turn, and the end of the last: one walk along the path.
  const distances = all.flatMap(({ s0, s1 }) => Array.from({ length: 2 * count }, (_, i) => s0 + (i / (2 * count)) * (s1 - s0)));
  const stations = stationsAt(subpath, [...distances, all[all.length - 1].s1]);
  return all.map(({ s0, s1 }, k) => Array.from({ length: count }, (_, i) => {
    const [start, { x, y, nx, ny, tx, ty }, end] = stations.slice(2 * (k * count + i), 2 * (k * count + i) + 3);
    const side = (Math.sign(tx * ny - ty * nx) * count) / (s1 - s0);
    return { x, y, nx: -side * (end.y - start.y), ny: side * (end.x - start.x) };
  }));
}

/** A bend of a smaller radius, mm, is a corner all along: the end of a slot, whose sides lie in one profile across. A path that is nothing else is a small hole. */
const TIGHT = 1.5;

/** Distances along the path of its real corners, ascending; the ends of an open path count. Vertices of a flattened curve do not, but those of a tight bend. */
export function corners(subpath: Subpath): number[] {
  const { points, closed, leaving, arriving } = subpath;
  const tight = leaving.map((angle, i) => TIGHT * Math.abs(turnBetween(angle, arriving[i])) > edgeLength(points, i));
  const hole = tight.every(Boolean);
  const found = closed ? [] : [0];
  let s = 0;
  for (let i = 0; i < leaving.length; i++) {
    const last = i > 0 ? i - 1 : closed ? leaving.length - 1 : null;
    if (last !== null && ((!hole && (tight[last] || tight[i])) || Math.abs(turnBetween(arriving[last], leaving[i])) > CORNER)) found.push(s);
    s += edgeLength(points, i);
  }
  if (!closed) found.push(subpath.length);
  return found;
}

/** The stations at given ascending distances along the path; the direction between two vertices of a curve is interpolated between the curve's own. */
export function stationsAt(subpath: Subpath, distances: readonly number[]): Station[] {
  const { points, closed, length, leaving, arriving } = subpath;
  const bends = corners(subpath);
  const side = closed && signedArea(subpath) > 0 ? -1 : 1;
  let edge = 0;
  let before = 0;
  let reach = edgeLength(points, 0);
  let bend = 0;
  const stations: Station[] = [];
  for (const s of distances) {
    while (edge + 1 < leaving.length && before + reach < s) {
      before += reach;
      edge++;
      reach = edgeLength(points, edge);
    }
    while (bend < bends.length && bends[bend] < s) bend++;
    const a = points[edge];
    const b = points[(edge + 1) % points.length];
    const t = reach > 0 ? Math.min(1, Math.max(0, (s - before) / reach)) : 0;
    const angle = leaving[edge] + t * turnBetween(leaving[edge], arriving[edge]);
    const tx = Math.cos(angle);
    const ty = Math.sin(angle);
    const bow = bowAt(a, b, leaving[edge], arriving[edge], t);
    stations.push({ s, x: a.x + t * (b.x - a.x) - bow * (b.y - a.y), y: a.y + t * (b.y - a.y) + bow * (b.x - a.x), nx: -side * ty, ny: side * tx, tx, ty, corner: toNearest(bends, bend, s, closed ? length : null) });
  }
  return stations;
}

/**
 * How far a curve lies to the left of its chord from a to b at the share t of it, as a share of the chord: the cubic that leaves a and arrives at b in the curve's own directions. All chords of a
 * bend lie on its inside, by up to what they were made to; that would pass for a cut found off to the outside all along it.
 */
function bowAt(a: PrintPoint, b: PrintPoint, leaving: number, arriving: number, t: number): number {
  const turn = turnBetween(leaving, arriving);
  if (turn === 0) return 0;
  const before = turnBetween(Math.atan2(b.y - a.y, b.x - a.x), leaving);
  return t * (1 - t) * (before - t * (2 * before + turn));
}

/** Distance from s to the nearest of the ascending `bends`, of which `next` is the first not before s; round the path where `around` gives its length. */
function toNearest(bends: readonly number[], next: number, s: number, around: number | null): number {
  if (bends.length === 0) return Infinity;
  const ahead = next < bends.length ? bends[next] - s : around === null ? Infinity : bends[0] + around - s;
  const behind = next > 0 ? s - bends[next - 1] : around === null ? Infinity : s + around - bends[bends.length - 1];
  return Math.min(ahead, behind);
}

/** The turn from direction a to b, radians, in (-pi, pi]. */
function turnBetween(a: number, b: number): number {
  const d = (b - a) % (2 * Math.PI);
  return d > Math.PI ? d - 2 * Math.PI : d <= -Math.PI ? d + 2 * Math.PI : d;
}
