import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { factor } from "../../geometry/normalEquations.ts";
import type { Sampler } from "../../image/sampler.ts";
import type { Mark } from "../../job/schema.ts";
import { reach } from "../../marks/shapes.ts";
import { medianOf } from "../../statistics/median.ts";

/** So far beyond a mark's ink its ground is looked at, mm, at so many places round it. */
const BESIDE = 0.8;
const PLACES = 12;
/** Fewest marks that tell a slope of the light, and its bend too. */
const FEWEST = 4;
const FEWEST_BENT = 7;
/** Ground darker than this, linear light, tells nothing. */
const DARKEST = 0.01;
/** Marks whose ground lies this many typical deviations off are on another ground. */
const APART = 4;
/** The light is not taken to vary by more than this to either side. */
const MOST = 2.5;

/**
 * How bright the light is about the sheet, relative to its middle, as the ground beside the marks shows it: all of them lie on the same ground. The logarithm is linear over the sheet, and
 * with enough marks has a bend alike to all sides (a lens loses light towards its corners). 1 everywhere where too few are seen.
 */
export function lightField(sampler: Sampler, marks: readonly Mark[], toPicture: (p: PrintPoint) => PicturePoint | null): (p: PrintPoint) => number {
  const seen = marks.flatMap((mark) => {
    const light = groundOf(sampler, mark, toPicture);
    return light > DARKEST ? [{ x: mark.x, y: mark.y, v: Math.log(light) }] : [];
  });
  if (seen.length < FEWEST) return () => 1;
  const mean = (pick: (s: PrintPoint) => number): number => seen.reduce((sum, s) => sum + pick(s), 0) / seen.length;
  const [cx, cy] = [mean((s) => s.x), mean((s) => s.y)];
  const half = Math.max(1, ...seen.map((s) => Math.hypot(s.x - cx, s.y - cy)));
  const row = ({ x, y }: PrintPoint): number[] => {
    const [X, Y] = [(x - cx) / half, (y - cy) / half];
    return seen.length < FEWEST_BENT ? [1, X, Y] : [1, X, Y, X * X + Y * Y];
  };
  let terms = fit(seen.map((s) => ({ row: row(s), v: s.v })));
  if (!terms) return () => 1;
  const off = seen.map((s) => Math.abs(s.v - along(row(s), terms ?? [])));
  const typical = medianOf(off);
  const kept = seen.filter((_, i) => off[i] <= APART * Math.max(typical, 0.01));
  if (kept.length >= FEWEST && kept.length < seen.length) terms = fit(kept.map((s) => ({ row: row(s), v: s.v }))) ?? terms;
  const known = terms;
  const middle = known[0];
  return (p) => Math.max(1 / MOST, Math.min(MOST, Math.exp(along(row(p), known) - middle)));
}

function along(row: readonly number[], terms: ArrayLike<number>): number {
  return row.reduce((sum, v, i) => sum + v * terms[i], 0);
}

/** Median light round a mark; NaN outside the picture. */
export function groundOf(sampler: Sampler, mark: Mark, toPicture: (p: PrintPoint) => PicturePoint | null): number {
  const radius = reach(mark) + BESIDE;
  const value = new Float32Array(1);
  const values = Array.from({ length: PLACES }, (_, k) => {
    const angle = (2 * Math.PI * k) / PLACES;
    const q = toPicture({ x: mark.x + radius * Math.cos(angle), y: mark.y + radius * Math.sin(angle) });
    if (!q) return NaN;
    sampler.line(q.x, q.y, 0, 0, 1, value, 0);
    return value[0];
  }).filter((v) => v > 0);
  return values.length >= PLACES / 2 ? medianOf(values) : NaN;
}

/** A faint prior (a tenth of a mark) holds slopes and bend that the marks' places do not tell at nothing. */
function fit(rows: readonly { readonly row: readonly number[]; readonly v: number }[]): Float64Array | null {
  const n = rows[0].row.length;
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (const { row, v } of rows) {
    for (let i = 0; i < n; i++) {
      right[i] += row[i] * v;
      for (let j = 0; j < n; j++) matrix[n * i + j] += row[i] * row[j];
    }
  }
  for (let i = 1; i < n; i++) matrix[(n + 1) * i] += 0.1;
  const solved = factor(matrix, n);
  return "undetermined" in solved ? null : solved.solve(right);
}
