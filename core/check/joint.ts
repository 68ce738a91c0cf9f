import type { Covariance2, PicturePoint, PrintPoint } from "../geometry/frames.ts";
import { levenbergMarquardt } from "../geometry/levenbergMarquardt.ts";
import { quadraticForm } from "../geometry/quadraticForm.ts";
import { countOf, type Nuisance } from "./nuisance.ts";
import { FREE_TERMS, PRIORS, TERM_COUNT, predictView, type ViewFrame, type ViewKind } from "./viewModel.ts";

/** A mark as it was seen. */
export interface MarkSighting {
  readonly mark: number;
  readonly print: PrintPoint;
  /** Ideal picture point (before a known lens), px, and its covariance, px^2. */
  readonly seen: PicturePoint;
  readonly covariance: Covariance2<"picture">;
  /** Displacements there by the nuisances (see nuisance.ts), where there are any. */
  readonly shifts?: Float64Array;
}

/** A chunk of a cut as it was seen: a point on it, known across only. */
export interface CutSighting {
  /** Nominal middle of the chunk, mean normal, tangent, curvature (see cuts/strip.ts). */
  readonly print: PrintPoint;
  readonly nx: number;
  readonly ny: number;
  readonly tx: number;
  readonly ty: number;
  readonly curvature: number;
  /** Picture point of the located cut on the normal through the middle. */
  readonly seen: PicturePoint;
  /** Standard uncertainty across, mm. */
  readonly sigma: number;
  /** What it looks like, and +1 or -1 where its normal points away from the piece or into it; absent where a bias by side is not to be had. */
  readonly edge?: EdgeLook;
  readonly away?: -1 | 1;
  /** As for a mark. */
  readonly shifts?: Float64Array;
}

/**
 * Looks of an edge that may be found off it, alike all round a piece: a slit with lip and shade, a step with the board's wall. A piece's holes count with its outline: what makes both alike too
 * small tells a bias from a stretch.
 */
export type EdgeLook = "line" | "step";
export const EDGE_LOOKS: readonly EdgeLook[] = ["line", "step"];

/** Terms of the cut-to-print map about the datum: T(p) - p = (x, y) + [[a, b], [c, d]] (p - p0) / S + quadratic projective part. */
export type CutKind = "shift" | "rigid" | "similarity" | "affine" | "projective";

/** x y (mm), then rotation-like combinations in mm at one half span: see `cutRow`. */
export const CUT_TERMS: Readonly<Record<CutKind, number>> = { shift: 2, rigid: 3, similarity: 4, affine: 6, projective: 8 };

export interface JointModel {
  readonly view: ViewKind;
  readonly cut: CutKind;
}

export interface JointFit {
  readonly model: JointModel;
  /** All view terms (those not free are 0). */
  readonly view: Float64Array;
  /** Cut terms: x, y, r, s, (e, g), (p, q); d(p) is linear in them. */
  readonly cut: Float64Array;
  /** By how much the edges of each look are found away from their pieces, mm; 0 where that is not fitted. */
  readonly edgeBias: Readonly<Record<EdgeLook, number>>;
  /** Factors of the nuisances, standard deviation 1 before the fit. */
  readonly nuisance: Float64Array;
  /** Covariance of [free view terms, cut terms, edge biases, nuisances], row-major. */
  readonly covariance: Float64Array;
  readonly free: readonly number[];
  readonly size: number;
  /** Weighted sum of squares, priors included. */
  readonly cost: number;
  /** Normalised residuals: one pair per mark, one per chunk. */
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
  /** Degrees of freedom that are left in the marks' residuals: what of them the parameters have not taken up (the sum of one less the leverage). */
  readonly markFreedom: number;
}

export interface JointData {
  readonly marks: readonly MarkSighting[];
  readonly cuts: readonly CutSighting[];
  readonly frame: ViewFrame;
  readonly datum: PrintPoint;
  /** Factors on the stated uncertainties, found from the scatter; weights of single chunks (0..1, robust). */
  readonly markScale: number;
  readonly cutScale: number;
  readonly cutWeights: Float64Array;
  /** Prior standard deviations of the edge biases, mm; absent: none are fitted. */
  readonly edgePriors?: Readonly<Record<EdgeLook, number>>;
  /** What the sightings' `shifts` are of (default nothing). */
  readonly nuisances?: readonly Nuisance[];
}

/**
 * Priors of the cut's linear terms, mm/m: sheets are loaded askew by up to centimetres per metre, but feed, print and table stretch and lean by a few
 * millimetres (common practice, no source). A layout that does not support a term leaves it there, with this uncertainty.
 */
const TURN_PRIOR = 10;
const STRETCH_PRIOR = 3;

/** Prior standard deviation of a cut term (index from 2), mm at the half span `half`. */
export function cutPrior(term: number, half: number): number {
  return ((term === 2 ? TURN_PRIOR : STRETCH_PRIOR) * half) / 1000;
}

/**
 * d(p) for the terms c: the row of coefficients for the direction (nx, ny) at (X, Y) = (p - datum)/S.
 * Terms: shift x, y; turn r: (-Y, X); growth s: (X, Y); unequal growth e: (X, -Y); lean g: (Y, X); taper p: X (X, Y), q: Y (X, Y).
 */
export function cutRow(X: number, Y: number, nx: number, ny: number, count: number, out: Float64Array, at: number): void {
  const along = nx * X + ny * Y;
  out[at] = nx;
  out[at + 1] = ny;
  if (count > 2) out[at + 2] = ny * X - nx * Y;
  if (count > 3) out[at + 3] = along;
  if (count > 4) {
    out[at + 4] = nx * X - ny * Y;
    out[at + 5] = nx * Y + ny * X;
  }
  if (count > 6) {
    out[at + 6] = X * along;
    out[at + 7] = Y * along;
  }
}

/** d(p) = T(p) - p at a print point, mm. */
export function displacement(cut: Float64Array, datum: PrintPoint, half: number, p: PrintPoint): PrintPoint {
  const X = (p.x - datum.x) / half;
  const Y = (p.y - datum.y) / half;
  const row = new Float64Array(8);
  const along = (nx: number, ny: number): number => {
    cutRow(X, Y, nx, ny, cut.length, row, 0);
    return cut.reduce((s, v, i) => s + v * row[i], 0);
  };
  return { x: along(1, 0), y: along(0, 1) };
}

/** The observation equations of the joint fit: what `fitJointly` solves and what the design of layouts weighs before there is a picture. */
export interface Equations {
  readonly free: readonly number[];
  readonly cutCount: number;
  /** The looks whose bias is fitted. */
  readonly looks: readonly EdgeLook[];
  /** The parameters are the free view terms, then the cut terms, then the edge biases, then the nuisances' factors. */
  readonly size: number;
  /** Hands each observation's row, residual and weight to `add`: two for each mark, one for each chunk, then the priors. */
  evaluate(p: Float64Array, add: (row: Float64Array, residual: number, weight: number) => void): void;
  /** Normalised residuals of the last evaluation. */
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
}

const NONE = new Float64Array(0);

export function equationsOf(data: JointData, model: JointModel): Equations {
  const free = FREE_TERMS[model.view];
  const cutCount = data.cuts.length > 0 ? CUT_TERMS[model.cut] : 0;
  const looks = EDGE_LOOKS.filter((look) => data.edgePriors && data.cuts.some((c) => c.edge === look && c.away));
  const biasAt = free.length + cutCount;
  const nuisanceAt = biasAt + looks.length;
  const nuisances = countOf(data.nuisances ?? []);
  const size = nuisanceAt + nuisances;
  const { print, picture } = data.frame;
  const full = new Float64Array(TERM_COUNT);
  const row = new Float64Array(size);
  const out = new Float64Array(2);
  const J = new Float64Array(2 * TERM_COUNT);
  const B = new Float64Array(4);
  const crow = new Float64Array(8);
  const slide = new Float64Array(8);
  const markResiduals = new Float64Array(2 * data.marks.length);
  const cutResiduals = new Float64Array(data.cuts.length);

  const evaluate = (p: Float64Array, add: (row: Float64Array, residual: number, weight: number) => void): void => {
    full.fill(0);
    free.forEach((term, i) => (full[term] = p[i]));
    data.marks.forEach((m, k) => {
      predictView(full, (m.print.x - print.x) / print.half, (m.print.y - print.y) / print.half, out, J, null);
      const shifts = m.shifts ?? NONE;
      let dx = m.seen.x - picture.x - picture.half * out[0];
      let dy = m.seen.y - picture.y - picture.half * out[1];
      for (let i = 0; i < nuisances; i++) {
        dx -= p[nuisanceAt + i] * shifts[2 * i];
        dy -= p[nuisanceAt + i] * shifts[2 * i + 1];
      }
      // Whitened by the Cholesky factor of the mark's own covariance.
      const { xx, xy, yy } = m.covariance;
      const l11 = Math.sqrt(xx) * data.markScale;
      const l21 = (xy / Math.sqrt(xx)) * data.markScale;
      const l22 = Math.sqrt(Math.max(yy - (xy * xy) / xx, 1e-12)) * data.markScale;
      const r1 = dx / l11;
      const r2 = (dy - l21 * r1) / l22;
      row.fill(0);
      free.forEach((term, i) => (row[i] = (picture.half * J[term]) / l11));
      for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = shifts[2 * i] / l11;
      add(row, r1, 1);
      free.forEach((term, i) => (row[i] = (picture.half * J[TERM_COUNT + term] - l21 * row[i]) / l22));
      for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (shifts[2 * i + 1] - l21 * row[nuisanceAt + i]) / l22;
      add(row, r2, 1);
      markResiduals[2 * k] = r1;
      markResiduals[2 * k + 1] = r2;
    });
    data.cuts.forEach((c, k) => {
      const X = (c.print.x - data.datum.x) / print.half;
      const Y = (c.print.y - data.datum.y) / print.half;
      let dn = 0;
      let dt = 0;
      cutRow(X, Y, c.nx, c.ny, cutCount, crow, 0);
      for (let i = 0; i < cutCount; i++) dn += crow[i] * p[free.length + i];
      const look = c.edge && c.away && looks.length > 0 ? looks.indexOf(c.edge) : -1;
      if (c.curvature !== 0) {
        cutRow(X, Y, c.tx, c.ty, cutCount, slide, 0);
        for (let i = 0; i < cutCount; i++) dt += slide[i] * p[free.length + i];
      }
      // Where the displaced curve crosses the normal: the shift along the normal, less the sagitta of sliding along a bend.
      const norm = Math.hypot(c.nx, c.ny) || 1;
      const ux = c.nx / norm;
      const uy = c.ny / norm;
      const t = dn - 0.5 * c.curvature * dt * dt + (look < 0 ? 0 : p[biasAt + look] * (c.away ?? 0));
      predictView(full, (c.print.x + t * ux - print.x) / print.half, (c.print.y + t * uy - print.y) / print.half, out, J, B);
      // Picture direction of the normal.
      const gx = B[0] * ux + B[1] * uy;
      const gy = B[2] * ux + B[3] * uy;
      const g = Math.hypot(gx, gy);
      // The curve's own direction in the picture; the residual is across it.
      const qx = B[0] * c.tx + B[1] * c.ty;
      const qy = B[2] * c.tx + B[3] * c.ty;
      const q = Math.hypot(qx, qy) || 1;
      let ax = -qy / q;
      let ay = qx / q;
      if (ax * gx + ay * gy < 0) {
        ax = -ax;
        ay = -ay;
      }
      const shifts = c.shifts ?? NONE;
      let dx = c.seen.x - picture.x - picture.half * out[0];
      let dy = c.seen.y - picture.y - picture.half * out[1];
      for (let i = 0; i < nuisances; i++) {
        dx -= p[nuisanceAt + i] * shifts[2 * i];
        dy -= p[nuisanceAt + i] * shifts[2 * i + 1];
      }
      const sigma = c.sigma * data.cutScale * ((g * picture.half) / print.half);
      const residual = (ax * dx + ay * dy) / sigma;
      const [rx, ry] = [(picture.half * ax) / sigma, (picture.half * ay) / sigma];
      for (let i = 0; i < free.length; i++) row[i] = rx * J[free[i]] + ry * J[TERM_COUNT + free[i]];
      const across = ((ax * gx + ay * gy) * picture.half) / print.half / sigma;
      for (let i = 0; i < cutCount; i++) row[free.length + i] = crow[i] * across;
      for (let i = 0; i < looks.length; i++) row[biasAt + i] = i === look ? (c.away ?? 0) * across : 0;
      for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (ax * shifts[2 * i] + ay * shifts[2 * i + 1]) / sigma;
      add(row, residual, data.cutWeights[k]);
      cutResiduals[k] = residual;
    });
    free.forEach((term, i) => {
      const prior = PRIORS[term];
      if (prior === undefined) return;
      row.fill(0);
      row[i] = 1;
      add(row, -p[i], 1 / (prior * prior));
    });
    for (let i = 2; i < cutCount; i++) {
      row.fill(0);
      row[free.length + i] = 1;
      add(row, -p[free.length + i], 1 / cutPrior(i, print.half) ** 2);
    }
    looks.forEach((look, i) => {
      row.fill(0);
      row[biasAt + i] = 1;
      add(row, -p[biasAt + i], 1 / (data.edgePriors?.[look] ?? 1) ** 2);
    });
    for (let i = 0; i < nuisances; i++) {
      row.fill(0);
      row[nuisanceAt + i] = 1;
      add(row, -p[nuisanceAt + i], 1);
    }
  };
  return { free, cutCount, looks, size, evaluate, markResiduals, cutResiduals };
}

/**
 * View, lens and cut-to-print map in one least-squares fit. Marks are points; a cut's chunks are points on a curve that is known
 * only across: the residual is taken along the picture's image of the nominal normal, so sliding along the cut costs
 * nothing, and long straight cuts rule the lens as well as the cut. Null where the data do not determine the model.
 */
export function fitJointly(data: JointData, model: JointModel, start: Float64Array, startCut: Float64Array): JointFit | null {
  const { free, cutCount, looks, size, evaluate, markResiduals, cutResiduals } = equationsOf(data, model);
  const first = new Float64Array(size);
  free.forEach((term, i) => (first[i] = start[term]));
  for (let i = 0; i < cutCount; i++) first[free.length + i] = startCut[i] ?? 0;
  const result = levenbergMarquardt(first, evaluate, { maxIterations: 30, tolerance: 1e-7, damping: 1e-6 });
  if (!result.covariance) return null;
  let markFreedom = 0;
  let observation = 0;
  evaluate(result.parameters, (row) => {
    if (observation++ < markResiduals.length) markFreedom += Math.max(0, 1 - quadraticForm(result.covariance ?? NONE, size, row));
  });
  const view = new Float64Array(TERM_COUNT);
  free.forEach((term, i) => (view[term] = result.parameters[i]));
  const edgeBias = { line: 0, step: 0 };
  looks.forEach((look, i) => (edgeBias[look] = result.parameters[free.length + cutCount + i]));
  return {
    model, view, cut: result.parameters.slice(free.length, free.length + cutCount), edgeBias, nuisance: result.parameters.slice(size - countOf(data.nuisances ?? [])), covariance: result.covariance, free, size, cost: result.cost,
    markResiduals: markResiduals.slice(), cutResiduals: cutResiduals.slice(), markFreedom,
  };
}
