import type { Covariance2, PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { AddRow } from "../geometry/rowSums.ts";
import { CUT_TERMS, cutPrior, cutRow, type CutKind } from "./cutMap.ts";
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
  readonly shifts?: readonly number[];
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
  readonly shifts?: readonly number[];
}

/**
 * Looks of an edge that may be found off it, alike all round a piece: a slit with lip and shade, a step with the board's wall. A piece's holes count with its outline: what makes both alike too
 * small tells a bias from a stretch.
 */
export type EdgeLook = "line" | "step" | "hole";
const EDGE_LOOKS: readonly EdgeLook[] = ["line", "step", "hole"];

export interface JointModel {
  readonly view: ViewKind;
  readonly cut: CutKind;
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

/** The observation equations of the joint fit: what `fitJointly` solves and what the design of layouts weighs before there is a picture. */
export interface Equations {
  readonly free: readonly number[];
  readonly cutCount: number;
  /** The looks whose bias is fitted. */
  readonly looks: readonly EdgeLook[];
  /** The parameters are the free view terms, then the cut terms, then the edge biases, then the nuisances' factors. */
  readonly size: number;
  /** Hands each observation's row, residual and weight to `add`: two for each mark, one for each chunk, then the priors. */
  evaluate(p: Float64Array, add: AddRow): void;
  /** Normalised residuals of the last evaluation. */
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
}

const NONE: readonly number[] = [];
const NO_SHARE: readonly number[] = [];

/** Makes the equations of sightings and a model. */
export function equationsOf(data: JointData, model: JointModel): Equations {
  const free = FREE_TERMS[model.view];
  const cutCount = data.cuts.length > 0 ? CUT_TERMS[model.cut] : 0;
  const isSeen = (look: EdgeLook): boolean => data.cuts.some((c) => c.edge === look && c.away);
  const looks = !data.edgePriors ? [] : EDGE_LOOKS.filter((look) => (look === "hole" ? isSeen("hole") && isSeen("step") : isSeen(look) || (look === "step" && isSeen("hole"))));
  const shares = EDGE_LOOKS.map((edge) => looks.map((look) => (look === edge || (edge === "hole" && look === "step") ? 1 : 0)));
  const biasAt = free.length + cutCount;
  const nuisanceAt = biasAt + looks.length;
  const nuisances = countOf(data.nuisances ?? []);
  const size = nuisanceAt + nuisances;
  const { print, picture } = data.frame;
  const full = new Float64Array(TERM_COUNT);
  const row = new Float64Array(size);
  const out = new Float64Array(2);
  const off = new Float64Array(2);
  const J = new Float64Array(2 * TERM_COUNT);
  const B = new Float64Array(4);
  const crow = new Float64Array(8);
  const slide = new Float64Array(8);
  const markResiduals = new Float64Array(2 * data.marks.length);
  const cutResiduals = new Float64Array(data.cuts.length);

  /** By how much a place was seen off from where the view puts it (`out`) and the nuisances move it, px, into `off`. */
  const misfit = (p: Float64Array, seen: PicturePoint, shifts: readonly number[]): void => {
    off[0] = seen.x - picture.x - picture.half * out[0];
    off[1] = seen.y - picture.y - picture.half * out[1];
    for (let i = 0; i < nuisances; i++) {
      off[0] -= p[nuisanceAt + i] * shifts[2 * i];
      off[1] -= p[nuisanceAt + i] * shifts[2 * i + 1];
    }
  };

  /** A mark's two residuals, whitened by the Cholesky factor of its own covariance. */
  const addMark = (p: Float64Array, m: MarkSighting, k: number, add: AddRow): void => {
    const shifts = m.shifts ?? NONE;
    predictView(full, (m.print.x - print.x) / print.half, (m.print.y - print.y) / print.half, out, J, null);
    misfit(p, m.seen, shifts);
    const { xx, xy, yy } = m.covariance;
    const l11 = Math.sqrt(xx) * data.markScale;
    const l21 = (xy / Math.sqrt(xx)) * data.markScale;
    const l22 = Math.sqrt(Math.max(yy - (xy * xy) / xx, 1e-12)) * data.markScale;
    const r1 = off[0] / l11;
    const r2 = (off[1] - l21 * r1) / l22;
    row.fill(0);
    for (let i = 0; i < free.length; i++) row[i] = (picture.half * J[free[i]]) / l11;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = shifts[2 * i] / l11;
    add(row, r1, 1);
    for (let i = 0; i < free.length; i++) row[i] = (picture.half * J[TERM_COUNT + free[i]] - l21 * row[i]) / l22;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (shifts[2 * i + 1] - l21 * row[nuisanceAt + i]) / l22;
    add(row, r2, 1);
    markResiduals[2 * k] = r1;
    markResiduals[2 * k + 1] = r2;
  };

  /** Where the displaced curve of a chunk crosses its normal, mm along it: the shift along the normal, less the sagitta of sliding along a bend, and the bias of its look. Fills `crow`. */
  const crossing = (p: Float64Array, c: CutSighting, share: readonly number[]): number => {
    const X = (c.print.x - data.datum.x) / print.half;
    const Y = (c.print.y - data.datum.y) / print.half;
    let dn = 0;
    let dt = 0;
    cutRow(X, Y, c.nx, c.ny, cutCount, crow, 0);
    for (let i = 0; i < cutCount; i++) dn += crow[i] * p[free.length + i];
    if (c.curvature !== 0) {
      cutRow(X, Y, c.tx, c.ty, cutCount, slide, 0);
      for (let i = 0; i < cutCount; i++) dt += slide[i] * p[free.length + i];
    }
    return dn - 0.5 * c.curvature * dt * dt + share.reduce((sum, v, i) => sum + v * p[biasAt + i], 0) * (c.away ?? 0);
  };

  /** A chunk's residual, across the direction of its curve in the picture. */
  const addCut = (p: Float64Array, c: CutSighting, k: number, add: AddRow): void => {
    const share = c.edge && c.away && looks.length > 0 ? shares[EDGE_LOOKS.indexOf(c.edge)] : NO_SHARE;
    const norm = Math.hypot(c.nx, c.ny) || 1;
    const ux = c.nx / norm;
    const uy = c.ny / norm;
    const t = crossing(p, c, share);
    predictView(full, (c.print.x + t * ux - print.x) / print.half, (c.print.y + t * uy - print.y) / print.half, out, J, B);
    const shifts = c.shifts ?? NONE;
    misfit(p, c.seen, shifts);
    // Picture directions of the normal and of the curve; (ax, ay) is across the curve, to the normal's side.
    const gx = B[0] * ux + B[1] * uy;
    const gy = B[2] * ux + B[3] * uy;
    const qx = B[0] * c.tx + B[1] * c.ty;
    const qy = B[2] * c.tx + B[3] * c.ty;
    const q = (qx * gy - qy * gx < 0 ? -1 : 1) * (Math.hypot(qx, qy) || 1);
    const ax = -qy / q;
    const ay = qx / q;
    const sigma = c.sigma * data.cutScale * ((Math.hypot(gx, gy) * picture.half) / print.half);
    const residual = (ax * off[0] + ay * off[1]) / sigma;
    const rx = (picture.half * ax) / sigma;
    const ry = (picture.half * ay) / sigma;
    for (let i = 0; i < free.length; i++) row[i] = rx * J[free[i]] + ry * J[TERM_COUNT + free[i]];
    const across = ((ax * gx + ay * gy) * picture.half) / print.half / sigma;
    for (let i = 0; i < cutCount; i++) row[free.length + i] = crow[i] * across;
    for (let i = 0; i < looks.length; i++) row[biasAt + i] = (share[i] ?? 0) * (c.away ?? 0) * across;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (ax * shifts[2 * i] + ay * shifts[2 * i + 1]) / sigma;
    add(row, residual, data.cutWeights[k]);
    cutResiduals[k] = residual;
  };

  /** Parameter i is 0 but for a standard deviation. */
  const addPrior = (p: Float64Array, i: number, deviation: number, add: AddRow): void => {
    row.fill(0);
    row[i] = 1;
    add(row, -p[i], 1 / (deviation * deviation));
  };

  const evaluate = (p: Float64Array, add: AddRow): void => {
    full.fill(0);
    free.forEach((term, i) => (full[term] = p[i]));
    data.marks.forEach((m, k) => addMark(p, m, k, add));
    data.cuts.forEach((c, k) => addCut(p, c, k, add));
    free.forEach((term, i) => {
      const prior = PRIORS[term];
      if (prior !== undefined) addPrior(p, i, prior, add);
    });
    for (let i = 2; i < cutCount; i++) addPrior(p, free.length + i, cutPrior(i, print.half), add);
    looks.forEach((look, i) => addPrior(p, biasAt + i, data.edgePriors?.[look] ?? 1, add));
    for (let i = 0; i < nuisances; i++) addPrior(p, nuisanceAt + i, 1, add);
  };
  return { free, cutCount, looks, size, evaluate, markResiduals, cutResiduals };
}
