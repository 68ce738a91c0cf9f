import type { Covariance2, PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import type { AddRow } from "../../geometry/rowSums.ts";
import { CUT_TERMS, cutPrior, cutRow, type CutKind } from "./cutMap.ts";
import { countOf, type Nuisance } from "../view/nuisance.ts";
import { FREE_TERMS, PRIORS, TERM_COUNT, predictView, type ViewFrame, type ViewKind } from "../view/viewModel.ts";

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
  /** Nominal middle of the chunk, mean normal, tangent, curvature (see cuts/strips/strip.ts). */
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
  /** What of it is alike for all of a direction, which no scatter shows: what lips, or the shades at the feet of edges, leave, mm (standard uncertainty; default 0). */
  readonly lip?: number;
  /** How much it counts for its sigma, 0 to 1 (default 1; see besideSlits.ts). */
  readonly counts?: number;
  /** What it looks like, and +1 or -1 where its normal points away from the piece or into it; absent where a bias by side is not to be had. */
  readonly edge?: EdgeLook;
  readonly away?: -1 | 1;
  /** How much darker a slit's ground is than that of most (logarithm); absent where it has no lip to draw it aside. */
  readonly tone?: number;
  /** True for a slit that is brighter than its ground. */
  readonly bright?: boolean;
  /** As for a mark. */
  readonly shifts?: readonly number[];
}

/**
 * Looks of an edge that may be found off it, alike all round a piece: a slit with lip and shade, a step with the board's wall. A piece's holes count with its outline: what makes both alike too
 * small tells a bias from a stretch.
 */
export type EdgeLook = "line" | "step" | "hole";
const EDGE_LOOKS: readonly EdgeLook[] = ["line", "step", "hole"];

/** Whether a chunk is an edge against what lies behind the board. */
export function isOverGap({ edge }: Pick<CutSighting, "edge">): boolean {
  return edge !== undefined && edge !== "line";
}

/**
 * What draws edges aside together: by their look alike all round a piece, and slits the more to the shade the darker their ground is, since their lips are as bright on dark print as on light. One tone over half of a sheet
 * would pass for a turn. On print darker than the slit itself its lip is the brighter of the two, and draws it by itself.
 */
export type EdgeBias = EdgeLook | (typeof TONED)[number] | (typeof BRIGHT)[number];
const TONED = ["toned", "tonedX", "tonedY"] as const;
const BRIGHT = ["bright", "brightX", "brightY"] as const;
export const EDGE_BIASES: readonly EdgeBias[] = [...EDGE_LOOKS, ...TONED, ...BRIGHT];

/** The same value, mm, for every edge bias. */
export function alikeBiases(value: number): Record<EdgeBias, number> {
  return Object.fromEntries(EDGE_BIASES.map((bias) => [bias, value])) as Record<EdgeBias, number>;
}

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
  readonly edgePriors?: Readonly<Record<EdgeBias, number>>;
  /** What the sightings' `shifts` are of (default nothing). */
  readonly nuisances?: readonly Nuisance[];
}

/** The observation equations of the joint fit: what `fitJointly` solves and what the design of layouts weighs before there is a picture. */
export interface Equations {
  readonly free: readonly number[];
  readonly cutCount: number;
  /** The biases that are fitted. */
  readonly biases: readonly EdgeBias[];
  /** The parameters are the free view terms, then the cut terms, then the edge biases, then the nuisances' factors. */
  readonly size: number;
  /** Hands each observation's row, residual and weight to `add`: two for each mark, one for each chunk, then the priors. */
  evaluate(p: Float64Array, add: AddRow): void;
  /** Normalised residuals of the last evaluation. */
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
}

const NONE: readonly number[] = [];

/** Makes the equations of sightings and a model. */
export function equationsOf(data: JointData, model: JointModel): Equations {
  const rows = new Rows(data, termsOf(data, model));
  return { ...rows.terms, evaluate: (p, add) => rows.evaluate(p, add), markResiduals: rows.markResiduals, cutResiduals: rows.cutResiduals };
}

/** What the parameters are of, and where each kind of them begins. */
interface Terms extends Pick<Equations, "free" | "cutCount" | "biases" | "size"> {
  readonly biasAt: number;
  readonly nuisanceAt: number;
  readonly nuisances: number;
}

function termsOf(data: JointData, model: JointModel): Terms {
  const free = FREE_TERMS[model.view];
  const cutCount = data.cuts.length > 0 ? CUT_TERMS[model.cut] : 0;
  const isSeen = (look: EdgeLook): boolean => data.cuts.some((c) => c.edge === look && c.away);
  const looks = EDGE_LOOKS.filter((look) => (look === "hole" ? isSeen("hole") && isSeen("step") : isSeen(look) || (look === "step" && isSeen("hole"))));
  const biases = !data.edgePriors ? [] : [...looks, ...(data.cuts.some((c) => c.tone) ? TONED : []), ...(data.cuts.some((c) => c.bright) ? BRIGHT : [])];
  const biasAt = free.length + cutCount;
  const nuisanceAt = biasAt + biases.length;
  const nuisances = countOf(data.nuisances ?? []);
  return { free, cutCount, biases, size: nuisanceAt + nuisances, biasAt, nuisanceAt, nuisances };
}

/** By how much a bias of one draws a cut along its normal. */
export function drawnBy(bias: EdgeBias, { edge, away, tone = 0, bright = false, nx, ny }: Pick<CutSighting, "edge" | "away" | "tone" | "bright" | "nx" | "ny">): number {
  switch (bias) {
    case "toned": return tone * (away ?? 0);
    case "tonedX": return tone * nx;
    case "tonedY": return tone * ny;
    case "bright": return bright ? (away ?? 0) : 0;
    case "brightX": return bright ? nx : 0;
    case "brightY": return bright ? ny : 0;
    default: return edge === bias || (edge === "hole" && bias === "step") ? (away ?? 0) : 0;
  }
}

/** Makes the rows, one at a time in the same room. */
class Rows {
  readonly terms: Terms;
  readonly markResiduals: Float64Array;
  readonly cutResiduals: Float64Array;
  private readonly data: JointData;
  private readonly row: Float64Array;
  /** All view terms, those not free 0. */
  private readonly view = new Float64Array(TERM_COUNT);
  /** Where the view puts a place, in units of the frame, its derivatives by the view's terms, and by the place. */
  private readonly at = new Float64Array(2);
  private readonly byTerm = new Float64Array(2 * TERM_COUNT);
  private readonly byPlace = new Float64Array(4);
  private readonly off = new Float64Array(2);
  /** What each cut term moves a chunk by, across and along its path. */
  private readonly across = new Float64Array(CUT_TERMS.curved);
  private readonly along = new Float64Array(CUT_TERMS.curved);
  /** By how much each fitted bias draws each cut along its normal. */
  private readonly drawn: readonly (readonly number[])[];

  constructor(data: JointData, terms: Terms) {
    this.data = data;
    this.terms = terms;
    this.row = new Float64Array(terms.size);
    this.markResiduals = new Float64Array(2 * data.marks.length);
    this.cutResiduals = new Float64Array(data.cuts.length);
    this.drawn = data.cuts.map((c) => terms.biases.map((bias) => drawnBy(bias, c)));
  }

  evaluate(p: Float64Array, add: AddRow): void {
    const { data, terms } = this;
    this.view.fill(0);
    terms.free.forEach((term, i) => (this.view[term] = p[i]));
    data.marks.forEach((m, k) => this.addMark(p, m, k, add));
    data.cuts.forEach((c, k) => this.addCut(p, c, k, add));
    terms.free.forEach((term, i) => {
      const prior = PRIORS[term];
      if (prior !== undefined) this.addPrior(p, i, prior, add);
    });
    for (let i = 2; i < terms.cutCount; i++) this.addPrior(p, terms.free.length + i, cutPrior(i, data.frame.print.half), add);
    terms.biases.forEach((bias, i) => this.addPrior(p, terms.biasAt + i, data.edgePriors?.[bias] ?? 1, add));
    for (let i = 0; i < terms.nuisances; i++) this.addPrior(p, terms.nuisanceAt + i, 1, add);
  }

  /** A mark's two residuals, whitened by the Cholesky factor of its own covariance. */
  private addMark(p: Float64Array, m: MarkSighting, k: number, add: AddRow): void {
    const { row, byTerm, off, terms: { free, nuisances, nuisanceAt }, data: { frame: { print, picture }, markScale } } = this;
    const shifts = m.shifts ?? NONE;
    predictView(this.view, (m.print.x - print.x) / print.half, (m.print.y - print.y) / print.half, this.at, byTerm, null);
    this.misfit(p, m.seen, shifts);
    const { xx, xy, yy } = m.covariance;
    const l11 = Math.sqrt(xx) * markScale;
    const l21 = (xy / Math.sqrt(xx)) * markScale;
    const l22 = Math.sqrt(Math.max(yy - (xy * xy) / xx, 1e-12)) * markScale;
    const r1 = off[0] / l11;
    const r2 = (off[1] - l21 * r1) / l22;
    row.fill(0);
    for (let i = 0; i < free.length; i++) row[i] = (picture.half * byTerm[free[i]]) / l11;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = shifts[2 * i] / l11;
    add(row, r1, 1);
    for (let i = 0; i < free.length; i++) row[i] = (picture.half * byTerm[TERM_COUNT + free[i]] - l21 * row[i]) / l22;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (shifts[2 * i + 1] - l21 * row[nuisanceAt + i]) / l22;
    add(row, r2, 1);
    this.markResiduals[2 * k] = r1;
    this.markResiduals[2 * k + 1] = r2;
  }

  /** A chunk's residual, across the direction of its curve in the picture. */
  private addCut(p: Float64Array, c: CutSighting, k: number, add: AddRow): void {
    const { row, byTerm, byPlace, off, terms: { free, cutCount, biasAt, nuisances, nuisanceAt }, data: { frame: { print, picture }, cutScale, cutWeights } } = this;
    const drawn = this.drawn[k];
    const shifts = c.shifts ?? NONE;
    const norm = Math.hypot(c.nx, c.ny) || 1;
    const ux = c.nx / norm;
    const uy = c.ny / norm;
    const t = this.crossing(p, c, drawn);
    predictView(this.view, (c.print.x + t * ux - print.x) / print.half, (c.print.y + t * uy - print.y) / print.half, this.at, byTerm, byPlace);
    this.misfit(p, c.seen, shifts);
    // Picture directions of the normal and of the curve; (ax, ay) is across the curve, to the normal's side.
    const gx = byPlace[0] * ux + byPlace[1] * uy;
    const gy = byPlace[2] * ux + byPlace[3] * uy;
    const qx = byPlace[0] * c.tx + byPlace[1] * c.ty;
    const qy = byPlace[2] * c.tx + byPlace[3] * c.ty;
    const q = (qx * gy - qy * gx < 0 ? -1 : 1) * (Math.hypot(qx, qy) || 1);
    const ax = -qy / q;
    const ay = qx / q;
    const sigma = c.sigma * cutScale * ((Math.hypot(gx, gy) * picture.half) / print.half);
    const residual = (ax * off[0] + ay * off[1]) / sigma;
    const rx = (picture.half * ax) / sigma;
    const ry = (picture.half * ay) / sigma;
    for (let i = 0; i < free.length; i++) row[i] = rx * byTerm[free[i]] + ry * byTerm[TERM_COUNT + free[i]];
    const perMm = ((ax * gx + ay * gy) * picture.half) / print.half / sigma;
    for (let i = 0; i < cutCount; i++) row[free.length + i] = this.across[i] * perMm;
    for (let i = 0; i < drawn.length; i++) row[biasAt + i] = drawn[i] * perMm;
    for (let i = 0; i < nuisances; i++) row[nuisanceAt + i] = (ax * shifts[2 * i] + ay * shifts[2 * i + 1]) / sigma;
    add(row, residual, cutWeights[k] * (c.counts ?? 1));
    this.cutResiduals[k] = residual;
  }

  /** Where the displaced curve of a chunk crosses its normal, mm along it: the shift along the normal, less the sagitta of sliding along a bend, and what the biases draw it aside. Fills `across`. */
  private crossing(p: Float64Array, c: CutSighting, drawn: readonly number[]): number {
    const { across, along, terms: { free, cutCount, biasAt }, data: { datum, frame: { print } } } = this;
    const X = (c.print.x - datum.x) / print.half;
    const Y = (c.print.y - datum.y) / print.half;
    let dn = 0;
    let dt = 0;
    cutRow(X, Y, c.nx, c.ny, cutCount, across, 0);
    for (let i = 0; i < cutCount; i++) dn += across[i] * p[free.length + i];
    if (c.curvature !== 0) {
      cutRow(X, Y, c.tx, c.ty, cutCount, along, 0);
      for (let i = 0; i < cutCount; i++) dt += along[i] * p[free.length + i];
    }
    return dn - 0.5 * c.curvature * dt * dt + drawn.reduce((sum, v, i) => sum + v * p[biasAt + i], 0);
  }

  /** By how much a place was seen off from where the view puts it (`at`) and the nuisances move it, px, into `off`. */
  private misfit(p: Float64Array, seen: PicturePoint, shifts: readonly number[]): void {
    const { off, at, terms: { nuisances, nuisanceAt }, data: { frame: { picture } } } = this;
    off[0] = seen.x - picture.x - picture.half * at[0];
    off[1] = seen.y - picture.y - picture.half * at[1];
    for (let i = 0; i < nuisances; i++) {
      off[0] -= p[nuisanceAt + i] * shifts[2 * i];
      off[1] -= p[nuisanceAt + i] * shifts[2 * i + 1];
    }
  }

  /** Parameter i is 0 but for a standard deviation. */
  private addPrior(p: Float64Array, i: number, deviation: number, add: AddRow): void {
    this.row.fill(0);
    this.row[i] = 1;
    add(this.row, -p[i], 1 / (deviation * deviation));
  }
}
