import { SmallSystem } from "../../geometry/smallSystem.ts";
import type { CutLook } from "../evidence/evidence.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** Samples of a strip lie half a pixel apart, and their noise and what no model shows go together over a few: so many count for one. */
export const ALIKE = 4;
/** A picture without noise still has its grey levels, linear light squared. */
export const LEAST_SCATTER = 1e-8;

/** How far from its middle a cut's profile, of sigma `width` mm, is fitted, mm. */
export function reachOf(look: CutLook, width: number): number {
  return Math.max(look === "crease" ? 1.2 : 0.45, 2.6 * width);
}

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

/** Mean light of a chunk's profile between two distances along the normal, mm, in either order; NaN where it is not seen. */
export function meanBetween({ profile }: Pick<Chunk, "profile">, grid: StripGrid, from: number, to: number): number {
  const [a, b] = [Math.min(from, to), Math.max(from, to)].map((t) => Math.round((t + grid.reach) / grid.step));
  const seen = profile.subarray(Math.max(0, a), Math.max(0, b + 1));
  return seen.reduce((sum, v) => sum + v, 0) / seen.length;
}

/** Mean light of the ground on a line's two sides, where a profile of sigma `width` mm about t is clear of the line. */
export function groundsBeside(chunk: Pick<Chunk, "profile">, grid: StripGrid, t: number, width: number): [left: number, right: number] {
  const reach = reachOf("line", width);
  return [meanBetween(chunk, grid, t - reach, t - 0.75 * reach), meanBetween(chunk, grid, t + 0.75 * reach, t + reach)];
}

/** Columns fitted to samples by least squares: their coefficients, the variance of the last for a scatter of one, and the sum of squares that they leave. */
export interface ColumnFit {
  readonly x: readonly number[];
  readonly lastVariance: number;
  readonly squares: number;
}

/** One to each number of columns, made once: a fit is done with it before the next begins. */
const systems = Array.from({ length: 6 }, (_, n) => new SmallSystem(n));

/** The best combination of at most five columns, each of the samples' length; null where the samples do not determine it. */
export function columnFit(value: readonly number[], columns: readonly (readonly number[])[]): ColumnFit | null {
  const n = columns.length;
  const system = systems[n];
  for (let a = 0; a < n; a++) {
    system.right[a] = dot(columns[a], value);
    for (let b = 0; b <= a; b++) system.matrix[a * n + b] = dot(columns[a], columns[b]);
  }
  if (!system.solve()) return null;
  const x: number[] = [];
  for (let a = 0; a < n; a++) x.push(system.solution[a]);
  return { x, lastVariance: system.inverseDiagonal(n - 1), squares: Math.max(0, dot(value, value) - system.explained()) };
}

/** Sum of the products of two columns of equal length. */
export function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
