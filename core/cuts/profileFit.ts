import { factor } from "../geometry/normalEquations.ts";
import { NormalEquations } from "../geometry/rowSums.ts";
import type { Chunk, StripGrid } from "./strip.ts";

/** Samples of a strip lie half a pixel apart, and their noise and what no model shows go together over a few: so many count for one. */
export const ALIKE = 4;
/** A picture without noise still has its grey levels, linear light squared. */
export const LEAST_SCATTER = 1e-8;

/** The samples of a chunk's profile that are seen from `from` to `to`, mm: distances along the normal from `about`, and the light there. */
export function samplesBetween({ profile }: Pick<Chunk, "profile">, grid: StripGrid, from: number, to: number, about = 0): { t: number[]; value: number[] } {
  const t: number[] = [];
  const value: number[] = [];
  for (let i = Math.max(0, Math.ceil((from + grid.reach) / grid.step)); i <= Math.min(grid.count - 1, Math.floor((to + grid.reach) / grid.step)); i++) {
    if (Number.isNaN(profile[i])) continue;
    t.push(i * grid.step - grid.reach - about);
    value.push(profile[i]);
  }
  return { t, value };
}

/** Columns fitted to samples by least squares: their coefficients, the inverse of the normal equations' matrix (row-major), and the sum of squares that they leave. */
export interface ColumnFit {
  readonly x: Float64Array;
  inverse(): Float64Array;
  readonly squares: number;
}

/** The best combination of the columns; null where the samples do not determine it. */
export function columnFit(t: readonly number[], value: readonly number[], columns: readonly ((x: number) => number)[]): ColumnFit | null {
  const equations = new NormalEquations(columns.length);
  const row = new Float64Array(columns.length);
  equations.sum((add) => {
    for (let i = 0; i < t.length; i++) {
      for (let k = 0; k < row.length; k++) row[k] = columns[k](t[i]);
      add(row, value[i], 1);
    }
  });
  const solved = factor(equations.matrix, columns.length);
  if ("undetermined" in solved) return null;
  const x = solved.solve(equations.gradient);
  return { x, inverse: solved.inverse, squares: Math.max(0, equations.cost - x.reduce((sum, v, i) => sum + v * equations.gradient[i], 0)) };
}
