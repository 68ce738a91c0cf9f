import type { PicturePoint } from "../geometry/frames.ts";
import { boxMeans } from "../image/boxMeans.ts";
import type { Picture } from "../image/picture.ts";
import { reduce, toFull, type Reduced } from "../image/reduce.ts";

/** Side of a code in the copy that is looked at, px: its modules still show there as light and dark. */
const SIDE = 50;
/** Side of a code in blocks of that copy: a place need be known to a part of the code only. */
const BLOCKS = 10;
/** So many places are given at most, no two nearer to each other than half a side. */
const MOST = 8;

/**
 * Where a picture changes most within the size of a code, along its rows and down its columns: codes, and small print. The busiest place first.
 *
 * @param longest the code's side, px.
 */
export function busiestPlaces(picture: Picture, longest: number): PicturePoint[] {
  const copy = reduce(picture, Math.max(1, Math.round(longest / SIDE)));
  const side = Math.max(1, Math.round(longest / copy.factor / BLOCKS));
  const { across, along, width, height } = changesOf(copy, side);
  const half = Math.round(longest / copy.factor / side / 2);
  const [rows, columns] = [across, along].map((changes) => boxMeans(changes, width, height, Math.round(0.7 * half)));
  const busy = rows.map((v, k) => Math.min(v, columns[k]));
  const middle = (block: number): number => toFull(copy, (block + 0.5) * side - 0.5);
  const places: PicturePoint[] = [];
  while (places.length < MOST) {
    const k = busy.reduce((best, v, i) => (v > busy[best] ? i : best), 0);
    if (!(busy[k] > 0)) break;
    const [x, y] = [k % width, Math.floor(k / width)];
    places.push({ x: middle(x), y: middle(y) });
    for (let j = Math.max(0, y - half); j <= Math.min(height - 1, y + half); j++) busy.fill(0, j * width + Math.max(0, x - half), j * width + Math.min(width, x + half + 1));
  }
  return places;
}

/** How much a copy changes from each pixel to the next one of its row (`across`) and of its column (`along`), mean over blocks of `side` x `side` pixels. */
function changesOf({ data, width, height }: Reduced, side: number): { across: Float32Array; along: Float32Array; width: number; height: number } {
  const [columns, rows] = [Math.floor((width - 1) / side), Math.floor((height - 1) / side)];
  const [across, along] = [new Float32Array(columns * rows), new Float32Array(columns * rows)];
  for (let y = 0; y < rows * side; y++) {
    const row = Math.floor(y / side) * columns;
    for (let x = 0, k = y * width; x < columns * side; x++, k++) {
      const block = row + Math.floor(x / side);
      across[block] += Math.abs(data[k] - data[k + 1]) / side ** 2;
      along[block] += Math.abs(data[k] - data[k + width]) / side ** 2;
    }
  }
  return { across, along, width: columns, height: rows };
}
