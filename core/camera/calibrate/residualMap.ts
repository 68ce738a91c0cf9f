import type { ResidualMap } from "../profile.ts";
import type { TargetPoint } from "./model.ts";

const COLUMNS = 8;
const ROWS = 6;

/** Mean residual (seen - predicted, px) of the points in each cell of an 8 x 6 grid over the picture: what the lens model leaves over. */
export function residualMap(
  views: readonly (readonly TargetPoint[])[], residuals: readonly Float64Array[], width: number, height: number,
): ResidualMap {
  const cells = COLUMNS * ROWS;
  const dx = new Array<number>(cells).fill(0);
  const dy = new Array<number>(cells).fill(0);
  const count = new Array<number>(cells).fill(0);
  views.forEach((points, view) => points.forEach((p, i) => {
    const cell = cellOf(p.u, p.v, width, height);
    dx[cell] += residuals[view][2 * i];
    dy[cell] += residuals[view][2 * i + 1];
    count[cell]++;
  }));
  const mean = (sums: number[]) => sums.map((s, i) => (count[i] > 0 ? s / count[i] : null));
  return { columns: COLUMNS, rows: ROWS, dx: mean(dx), dy: mean(dy), count };
}

function cellOf(u: number, v: number, width: number, height: number): number {
  const column = Math.min(COLUMNS - 1, Math.max(0, Math.floor(((u + 0.5) / width) * COLUMNS)));
  const row = Math.min(ROWS - 1, Math.max(0, Math.floor(((v + 0.5) / height) * ROWS)));
  return row * COLUMNS + column;
}
