import { polygonArea, polygonHull } from "d3-polygon";
import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { Picture } from "../image/picture.ts";
import { reduce, toFull, type Reduced } from "../image/reduce.ts";
import { medianOf } from "../statistics/median.ts";

/** The longer side of the copy in which the sheet is looked for, px at the least. */
const SIDE = 700;
/** A sheet is seen on at least this share of the picture, and fills its quadrilateral to this share. */
const LEAST_SHARE = 0.1;
const FILLS = 0.96;
/** Boundary pixels within this of a side, px of the copy, tell where it lies. */
const BESIDE = 4;

type Corner = [x: number, y: number];

/**
 * The four corners of the sheet that lies on the table, in order round it: the table is what is reached from the picture's border without a jump in colour. Only a guess to try:
 * of a sheet that the picture cuts off they may be its artwork's. Null where no quadrilateral is left, as of a sheet of the table's colour.
 */
export function sheetCorners(picture: Picture): PicturePoint[] | null {
  const factor = Math.max(1, Math.floor(Math.max(picture.width, picture.height) / SIDE));
  const planes = (picture.channels === 3 ? (["red", "green", "blue"] as const) : (["grey"] as const)).map((plane) => reduce(picture, factor, plane));
  const boundary = largestBoundary(tableOf(planes), planes[0]);
  const hull = polygonHull(boundary);
  const corners = hull && quadrilateral(hull);
  if (!hull || !corners) return null;
  const area = Math.abs(polygonArea(hull));
  if (area < LEAST_SHARE * planes[0].width * planes[0].height || area < FILLS * Math.abs(polygonArea(corners))) return null;
  return drawnIn(corners, boundary)?.map(([x, y]) => ({ x: toFull(planes[0], x), y: toFull(planes[0], y) }) as PicturePoint) ?? null;
}

/** The corners of a job's sheet as it is printed, in order round it. */
export function printedCorners({ width, height }: { readonly width: number; readonly height: number }): PrintPoint[] {
  return [[0, 0], [width, 0], [width, height], [0, height]].map(([x, y]) => ({ x, y }));
}

/** A jump is so many times what neighbours at the border differ by (median), and so many codes at least. */
const JUMP = 6;
const LEAST_JUMP = 10;
/** Pixels of the copy by which what is reached ends outside of an edge: no pixel next to one that the edge crosses is passed. */
const KEPT_OFF = 1;

/** Which pixels of the copy are the table's: 1, else 0. Only where the light does not jump between a pixel's neighbours is it passed, so that the softest edge lets nothing through along it. */
function tableOf(planes: readonly Reduced[]): Uint8Array {
  const { width, height } = planes[0];
  const border = borderOf(width, height);
  const jump = Math.max(LEAST_JUMP, JUMP * medianOf(border.slice(1).map((at, i) => farthest(planes, at, border[i]))));
  const reached = new Uint8Array(width * height);
  flood(reached, width, [...border], ([left, right, above, below]) => farthest(planes, left, right) <= jump && farthest(planes, above, below) <= jump);
  return reached;
}

/** Marks what is reached from the given pixels by way of pixels not marked before, and tells it; a pixel is gone on from where its neighbours (left, right, above, below; at the border itself) let pass. */
function flood(marked: Uint8Array, width: number, reach: number[], passes: (near: readonly number[]) => boolean = () => true): number[] {
  for (const at of reach) marked[at] = 1;
  for (const from of reach) {
    const x = from % width;
    const near = [x > 0 ? from - 1 : from, x < width - 1 ? from + 1 : from, from >= width ? from - width : from, from + width < marked.length ? from + width : from];
    if (!passes(near)) continue;
    for (const to of near) {
      if (marked[to]) continue;
      marked[to] = 1;
      reach.push(to);
    }
  }
  return reach;
}

/** The pixels of the copy's border, in order round it. */
function borderOf(width: number, height: number): number[] {
  const across = Array.from({ length: width }, (_, x) => x);
  const down = Array.from({ length: height }, (_, y) => y);
  return [...across, ...down.map((y) => y * width + width - 1), ...across.toReversed().map((x) => (height - 1) * width + x), ...down.toReversed().map((y) => y * width)];
}

/** By how much two pixels differ in the plane in which they do most. */
function farthest(planes: readonly Reduced[], a: number, b: number): number {
  let most = 0;
  for (const { data } of planes) most = Math.max(most, Math.abs(data[a] - data[b]));
  return most;
}

/** The pixels at the edge of the largest connected part that is not the table. */
function largestBoundary(table: Uint8Array, { width, height }: Reduced): Corner[] {
  const seen = table.slice();
  let largest: number[] = [];
  for (let start = 0; start < seen.length; start++) {
    if (seen[start]) continue;
    const part = flood(seen, width, [start]);
    if (part.length > largest.length) largest = part;
  }
  const isEdge = (at: number): boolean => table[at - 1] === 1 || table[at + 1] === 1 || table[at - width] === 1 || table[at + width] === 1;
  return largest.filter((at) => at >= width && at < width * (height - 1) && isEdge(at)).map((at) => [at % width, Math.floor(at / width)]);
}

/** The quadrilateral about a hull: side after side is left out, always the one whose neighbours then enclose least more. Null where they do not meet. */
function quadrilateral(hull: readonly Corner[]): Corner[] | null {
  let corners: Corner[] = [...hull];
  while (corners.length > 4) {
    const n = corners.length;
    let best: { at: number; corner: Corner; more: number } | null = null;
    for (let at = 0; at < n; at++) {
      const [before, from, to, after] = [corners[(at + n - 1) % n], corners[at], corners[(at + 1) % n], corners[(at + 2) % n]];
      const corner = crossing(before, from, after, to);
      if (!corner || !isBeyond(corner, from, to, before)) continue;
      const more = 0.5 * Math.abs((to[0] - from[0]) * (corner[1] - from[1]) - (to[1] - from[1]) * (corner[0] - from[0]));
      if (!best || more < best.more) best = { at, corner, more };
    }
    if (!best) return null;
    const { at, corner } = best;
    const next = (at + 1) % n;
    corners = corners.flatMap((c, i) => (i === at ? [corner] : i === next ? [] : [c]));
  }
  return corners.length === 4 ? corners : null;
}

/** Whether a corner lies on the other side of a hull's side than the hull does. */
function isBeyond(corner: Corner, from: Corner, to: Corner, inside: Corner): boolean {
  const side = ([x, y]: Corner): number => (to[0] - from[0]) * (y - from[1]) - (to[1] - from[1]) * (x - from[0]);
  return side(corner) * side(inside) <= 0;
}

/** Where the lines through two pairs of points cross; null where they are parallel. */
function crossing(a: Corner, b: Corner, c: Corner, d: Corner): Corner | null {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const det = ux * vy - uy * vx;
  if (Math.abs(det) < 1e-9 * Math.hypot(ux, uy) * Math.hypot(vx, vy)) return null;
  const s = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / det;
  return [a[0] + s * ux, a[1] + s * uy];
}

/** The quadrilateral with each side moved inwards to where most of the boundary lies along it: what sticks out of the sheet has widened the hull. */
function drawnIn(corners: Corner[], boundary: readonly Corner[]): Corner[] | null {
  // The library's area is negative where the inside lies to the left (-y, x) of the sides.
  const inwards = -Math.sign(polygonArea(corners));
  const sides = corners.map((from, i): [Corner, Corner] => {
    const to = corners[(i + 1) % 4];
    const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const [tx, ty] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
    const offs = boundary.flatMap(([x, y]) => {
      const along = (x - from[0]) * tx + (y - from[1]) * ty;
      const off = (x - from[0]) * -ty + (y - from[1]) * tx;
      return along > 0 && along < length && Math.abs(off) < BESIDE ? [off] : [];
    });
    const by = (offs.length > 0 ? medianOf(offs) : 0) + KEPT_OFF * inwards;
    return [[from[0] - by * ty, from[1] + by * tx], [to[0] - by * ty, to[1] + by * tx]];
  });
  const drawn = sides.map((side, i) => crossing(...sides[(i + 3) % 4], ...side));
  return drawn.every((corner) => corner !== null) ? drawn : null;
}
