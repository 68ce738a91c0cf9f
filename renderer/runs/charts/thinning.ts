import type { PlotLine } from "./plotData.ts";

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** More points than this in sight are drawn as a line alone, thinned without losing the highest and lowest. */
export const POINTS_SHOWN = 500;

/** What of a curve is drawn while the abscissa runs from one end to the other. */
export interface InSight {
  readonly points: readonly Point[];
  /** False where points were left out: the rest stand for their column and get no marks of their own. */
  readonly all: boolean;
}

/**
 * The part of a curve between two abscissas, with its neighbours outside so that it runs on to the edge. Where there are more than `POINTS_SHOWN`, each of `columns`
 * equal parts of the view keeps its lowest and highest point in their order (the edges of a band only the outer one). Columns lie at multiples of their width, not at
 * the view's edge: points do not come and go while the view moves. A break (y is NaN) stays where it is wider than a column.
 */
export function inSight({ x, y, look }: Pick<PlotLine, "x" | "y" | "look">, [from, to]: readonly [number, number], columns: number): InSight {
  const start = Math.max(0, firstFrom(x, from) - 1);
  const end = Math.min(x.length, firstFrom(x, to) + 2);
  if (end - start <= POINTS_SHOWN) return { points: Array.from({ length: end - start }, (_, i) => ({ x: x[start + i], y: y[start + i] })), all: true };
  const width = (to - from) / columns;
  const points: Point[] = [];
  let [low, high, last, column] = [-1, -1, -1, NaN];
  const push = (i: number): unknown => points.push({ x: x[i], y: y[i] });
  const closeColumn = (): void => {
    if (low < 0) return;
    if (look === "low") push(low);
    else if (look === "high") push(high);
    else if (low === high) push(low);
    else for (const i of [Math.min(low, high), Math.max(low, high)]) push(i);
  };
  let broken = false;
  for (let i = start; i < end; i++) {
    if (Number.isNaN(y[i])) {
      broken = true;
      continue;
    }
    const parted = broken && last >= 0 && x[i] - x[last] > width;
    const now = Math.floor(x[i] / width);
    if (parted || now !== column) {
      closeColumn();
      if (parted) points.push({ x: (x[last] + x[i]) / 2, y: NaN });
      [low, high, column] = [i, i, now];
    } else {
      if (y[i] < y[low]) low = i;
      if (y[i] > y[high]) high = i;
    }
    [last, broken] = [i, false];
  }
  closeColumn();
  return { points, all: false };
}

/** Index of the first abscissa that is not below `from`; they ascend. */
function firstFrom(x: readonly number[], from: number): number {
  let [low, high] = [0, x.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (x[middle] < from) low = middle + 1;
    else high = middle;
  }
  return low;
}
