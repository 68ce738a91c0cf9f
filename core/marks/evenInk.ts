import { factor } from "../geometry/normalEquations.ts";
import { NormalEquations } from "../geometry/rowSums.ts";
import type { Sampler } from "../image/sampler.ts";

/** Ink is looked at in squares of so many pixels a side, of which there must be so many. */
export const SQUARE = 8;
const FEWEST_SQUARES = 12;
/** The squares' means may scatter by so many times the variance that independent pixels give them. */
const EVEN = 1.5;

/** Pixels from x0, y0 to x1, y1, both included. */
export interface Window {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/**
 * Whether all that makes the ink of a mark uneven is noise of single pixels. What print and paper leave uneven is alike over many pixels, which then say less than as many independent ones; taken for
 * such, they draw the light's slope, and the mark's centre with it. It shows in the means of squares: about a plane they scatter by more than their pixels' own scatter makes of them.
 *
 * @param inInk whether the square whose upper left pixel is given lies wholly in the ink, away from its blurred edges.
 */
export function evenInk(sampler: Sampler, { x0, y0, x1, y1 }: Window, inInk: (x0: number, y0: number) => boolean): boolean {
  const rows: Float64Array[] = [];
  const means: number[] = [];
  let within = 0;
  for (let y = y0; y + SQUARE - 1 <= y1; y += SQUARE) {
    for (let x = x0; x + SQUARE - 1 <= x1; x += SQUARE) {
      if (!inInk(x, y)) continue;
      const square = squareAt(sampler, x, y);
      rows.push(Float64Array.of(1, x - x0, y - y0));
      means.push(square.mean);
      within += square.squares;
    }
  }
  if (means.length < FEWEST_SQUARES) return false;
  const ofPixels = within / (means.length * (SQUARE * SQUARE - 1));
  return scatterAboutPlane(rows, means) * SQUARE * SQUARE < EVEN * ofPixels;
}

/** Mean of a square's pixels and the sum of their squares about it. */
function squareAt(sampler: Sampler, x0: number, y0: number): { mean: number; squares: number } {
  let sum = 0;
  let squares = 0;
  for (let y = y0; y < y0 + SQUARE; y++) {
    for (let x = x0; x < x0 + SQUARE; x++) {
      const v = sampler.at(x, y);
      sum += v;
      squares += v * v;
    }
  }
  const mean = sum / SQUARE ** 2;
  return { mean, squares: squares - sum * mean };
}

/** Variance of the values about the plane that fits them best. */
function scatterAboutPlane(rows: readonly Float64Array[], values: readonly number[]): number {
  const equations = new NormalEquations(3);
  equations.sum((add) => rows.forEach((row, k) => add(row, values[k], 1)));
  const solved = factor(equations.matrix, 3);
  if ("undetermined" in solved) return Infinity;
  const plane = solved.solve(equations.gradient);
  return rows.reduce((sum, row, k) => sum + (values[k] - row[0] * plane[0] - row[1] * plane[1] - row[2] * plane[2]) ** 2, 0) / (rows.length - 3);
}
