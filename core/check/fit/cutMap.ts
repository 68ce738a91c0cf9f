import type { PrintPoint } from "../../geometry/frames.ts";

/** Terms of the cut-to-print map about the datum: T(p) - p = (x, y) + [[a, b], [c, d]] (p - p0) / S + quadratic part, that of a taper (projective) or any (curved). */
export type CutKind = "shift" | "rigid" | "similarity" | "orthogonal" | "affine" | "projective" | "curved";

/** x y (mm), then rotation-like combinations in mm at one half span: see `cutRow`. */
export const CUT_TERMS: Readonly<Record<CutKind, number>> = { shift: 2, rigid: 3, similarity: 4, orthogonal: 5, affine: 6, projective: 8, curved: 12 };

/**
 * Priors of the cut's linear terms, mm/m: sheets are loaded askew by up to centimetres per metre, but feed, print and table stretch and lean by a few
 * millimetres (common practice, no source). A layout that does not support a term leaves it there, with this uncertainty.
 */
const TURN_PRIOR = 10;
const STRETCH_PRIOR = 3;
/** By how much a taper, and what else is quadratic, bends the cut at the half span, mm (common practice, no source): a feed tapers or bows, a board is stretched unevenly. */
const TAPER_PRIOR = 0.3;
const CURVE_PRIOR = 0.1;

/** Prior standard deviation of a cut term (index from 2), mm at the half span `half`. */
export function cutPrior(term: number, half: number): number {
  if (term >= CUT_TERMS.affine) return term < CUT_TERMS.projective ? TAPER_PRIOR : CURVE_PRIOR;
  return ((term === 2 ? TURN_PRIOR : STRETCH_PRIOR) * half) / 1000;
}

/**
 * d(p) for the terms c: the row of coefficients for the direction (nx, ny) at (X, Y) = (p - datum)/S.
 * Terms: shift x, y; turn r: (-Y, X); growth s: (X, Y); unequal growth e: (X, -Y); lean g: (Y, X); taper p: X (X, Y), q: Y (X, Y); bow: (Y^2, 0), (0, X^2); what else
 * is quadratic: X (X, -Y), Y (X, -Y).
 */
export function cutRow(X: number, Y: number, nx: number, ny: number, count: number, out: Float64Array, at: number): void {
  const along = nx * X + ny * Y;
  out[at] = nx;
  out[at + 1] = ny;
  if (count > 2) out[at + 2] = ny * X - nx * Y;
  if (count > 3) out[at + 3] = along;
  if (count > 4) out[at + 4] = nx * X - ny * Y;
  if (count > 5) out[at + 5] = nx * Y + ny * X;
  if (count > 6) {
    out[at + 6] = X * along;
    out[at + 7] = Y * along;
  }
  if (count > 8) {
    const across = nx * X - ny * Y;
    out[at + 8] = nx * Y * Y;
    out[at + 9] = ny * X * X;
    out[at + 10] = X * across;
    out[at + 11] = Y * across;
  }
}

/** A place of the sheet and a direction there, print frame, mm. */
export type Across = PrintPoint & { readonly nx: number; readonly ny: number };

/** Fills `row`, as long as there are terms, with the coefficients at a place, and returns it. */
export function cutRowAt({ x, y, nx, ny }: Across, datum: PrintPoint, half: number, row: Float64Array): Float64Array {
  cutRow((x - datum.x) / half, (y - datum.y) / half, nx, ny, row.length, row, 0);
  return row;
}

/** d(p) = T(p) - p at a print point, mm. */
export function displacement(cut: Float64Array, datum: PrintPoint, half: number, p: PrintPoint): PrintPoint {
  const X = (p.x - datum.x) / half;
  const Y = (p.y - datum.y) / half;
  const row = new Float64Array(CUT_TERMS.curved);
  const along = (nx: number, ny: number): number => {
    cutRow(X, Y, nx, ny, cut.length, row, 0);
    return cut.reduce((s, v, i) => s + v * row[i], 0);
  };
  return { x: along(1, 0), y: along(0, 1) };
}
