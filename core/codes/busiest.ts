import type { PicturePoint } from "../geometry/frames.ts";
import { boxMeans } from "../image/boxMeans.ts";
import type { Picture } from "../image/picture.ts";
import { reduce, toFull } from "../image/reduce.ts";

/** Side of a code in the copy that is looked at, px: its modules still show there as light and dark. */
const SIDE = 50;
/** So many places are given at most, no two nearer to each other than half a side. */
const MOST = 8;

/**
 * Where a picture changes most within the size of a code, along its rows and down its columns: codes, and small print. The busiest place first.
 *
 * @param longest the code's side, px.
 */
export function busiestPlaces(picture: Picture, longest: number): PicturePoint[] {
  const copy = reduce(picture, Math.max(1, Math.round(longest / SIDE)));
  const { width, height, data } = copy;
  const [right, down] = [1, width].map((next) => data.map((v, k) => Math.abs(v - (data[k + next] ?? v))));
  const half = Math.round(longest / copy.factor / 2);
  const [across, along] = [right, down].map((changes) => boxMeans(changes, width, height, Math.round(0.7 * half)));
  const busy = across.map((v, k) => Math.min(v, along[k]));
  const places: PicturePoint[] = [];
  while (places.length < MOST) {
    const k = busy.reduce((best, v, i) => (v > busy[best] ? i : best), 0);
    if (!(busy[k] > 0)) break;
    const [x, y] = [k % width, Math.floor(k / width)];
    places.push({ x: toFull(copy, x), y: toFull(copy, y) });
    for (let j = Math.max(0, y - half); j <= Math.min(height - 1, y + half); j++) busy.fill(0, j * width + Math.max(0, x - half), j * width + Math.min(width, x + half + 1));
  }
  return places;
}
