import { CUT_TERMS, cutPrior, type CutKind } from "./cutMap.ts";
import type { CutSighting, JointData, JointModel, MarkSighting } from "./equations.ts";
import { fitJointly, type JointFit } from "./joint.ts";
import { FREE_TERMS, PRIORS, type ViewFrame, type ViewKind } from "./viewModel.ts";
import { alike } from "./alike.ts";
import type { PrintPoint } from "../geometry/frames.ts";
import { medianOf } from "../statistics/median.ts";
import { robustSigma } from "../statistics/robustSigma.ts";
import { shiftsAt, type Nuisance } from "./nuisance.ts";

/** The joint fit with the model that the data ask for, and how much the stated uncertainties had to be widened. */
export interface Solution extends JointFit {
  readonly data: JointData;
  /** Marks (indices into the sightings given) thrown out as outliers. */
  readonly rejected: readonly number[];
  /** Degrees of freedom left for the marks and the cuts. */
  readonly freedom: number;
  /** View terms kept although the data do not show them, since they could not exclude them either. */
  readonly doubtful: boolean;
}

export interface SolveInput {
  readonly marks: readonly MarkSighting[];
  readonly cuts: readonly CutSighting[];
  /** Index of each cut sighting's path, for the correlation along paths. */
  readonly paths: readonly number[];
  readonly frame: ViewFrame;
  readonly datum: PrintPoint;
  /** True where a profile has taken the lens out already. */
  readonly lensKnown: boolean;
  readonly start: Float64Array;
  readonly fewestMarks: number;
  /** The rough view is that of a flat scan. */
  readonly flat: boolean;
  /** Factor on the cuts' standard uncertainties for what lies beside them and looks like one: 1 where nothing does. */
  readonly doubt?: number;
  /** Waves of the board, taken in where marks and cuts show them. */
  readonly waves?: Nuisance | null;
  /** True for a fit that is only to tell where the cuts are expected: the most general model does, and none simpler is asked for. */
  readonly onTheWay?: boolean;
  /** Priors of the edges' biases, mm (see equations.ts). */
  readonly edgePriors?: JointData["edgePriors"];
  /** Factor on the marks' uncertainties that a fit to the marks alone has found; absent: this is that fit. */
  readonly markScale?: number;
  /** What displaces the picture smoothly and is not quite known (see nuisance.ts). */
  readonly nuisances?: readonly Nuisance[];
}

/** A term must lower the cost by this (in units of the widened variance) to be believed: about 4 sigma, as residuals are not quite independent. */
const BELIEVED = 16;
/** A doubtful term that could move a point at half the diagonal by more than this (mm) stays, with its uncertainty. */
const NEGLIGIBLE = 0.02;

/**
 * Fits the most general model that may apply, widens uncertainties to the scatter seen, throws out outliers, and then takes terms out again while
 * the data do not ask for them and their loss cannot matter. Null where not even the simplest model is determined.
 */
export function solve(given: SolveInput): Solution | null {
  const input = withShifts(given);
  let state = prepare(input);
  // Three marks fix an affine view and no more; more general terms would only be their priors.
  const first: ViewKind = input.flat && input.marks.length < 4 ? "affine" : input.lensKnown ? "projective" : "radial";
  let best = fourOfScan(input, state) ?? widen(input, state, { view: first, cut: "affine" });
  if (!best) return null;
  const outliers = throwOut(input, best);
  state = { ...state, rejected: outliers.rejected };
  best = outliers.solution;
  if (input.onTheWay) return best;
  const chosen = chooseCut(input, chooseView(input, best));
  return chosen && standing(input, chosen);
}

/** The fit without a lens to four marks of a flat scan that no perspective is seen in: of a lens they would tell nothing but its prior, which leaves centimetres open where the cuts are, and a scan has none. Null elsewhere. */
function fourOfScan(input: SolveInput, state: State): Solution | null {
  if (!input.flat || input.marks.length !== 4) return null;
  const askew = widen(input, state, { view: "projective", cut: "affine" });
  const even = askew && fitJointly(askew.data, { view: "affine", cut: "affine" }, askew.view, askew.cut);
  return askew && even && even.cost - askew.cost < BELIEVED ? askew : null;
}

/** Waves must lower the cost by this to be looked into, and to be believed: artwork beside cuts makes waves too, small ones. */
const WAVES_ASKED = 16;
const WAVES_BELIEVED = 60;

/**
 * The same model with waves of the board where the data ask for them. The uncertainties are widened anew from the stated ones: what a flat board leaves over passes for scatter, and hides
 * that it is not flat.
 */
function standing(given: SolveInput, flat: Solution): Solution {
  if (!given.waves || given.cuts.length === 0) return flat;
  const input = withShifts({ ...given, nuisances: [...(given.nuisances ?? []), given.waves] });
  const asked = fitJointly(dataOf(input, stateOf(flat)), flat.model, flat.view, flat.cut);
  if (!asked || flat.cost - asked.cost < WAVES_ASKED) return flat;
  const wavy = widen(input, { ...prepare(input), rejected: flat.rejected }, flat.model, flat);
  if (!wavy) return flat;
  const without = fitJointly(dataOf(given, stateOf(wavy)), flat.model, flat.view, flat.cut);
  return without && without.cost - wavy.cost < WAVES_BELIEVED ? flat : { ...wavy, doubtful: flat.doubtful };
}

function withShifts(input: SolveInput): SolveInput {
  const { nuisances = [] } = input;
  if (nuisances.length === 0) return input;
  const shifted = <S extends MarkSighting | CutSighting>(sighting: S): S => ({ ...sighting, shifts: shiftsAt(nuisances, sighting.seen) });
  return { ...input, marks: input.marks.map(shifted), cuts: input.cuts.map(shifted) };
}

interface State {
  readonly rejected: readonly number[];
  readonly markScale: number;
  readonly cutScale: number;
  readonly cutWeights: Float64Array;
}

function prepare(input: SolveInput): State {
  return { rejected: [], markScale: 1, cutScale: 1, cutWeights: new Float64Array(input.cuts.length).fill(1) };
}

function dataOf(input: SolveInput, state: State): JointData {
  return {
    marks: input.marks.filter((_, i) => !state.rejected.includes(i)), cuts: input.cuts, frame: input.frame, datum: input.datum,
    markScale: state.markScale, cutScale: state.cutScale, cutWeights: state.cutWeights, ...(input.edgePriors ? { edgePriors: input.edgePriors } : {}),
    ...(input.nuisances ? { nuisances: input.nuisances } : {}),
  };
}

/** Fits a model and repeats with the uncertainties scaled to the scatter of the residuals, and single chunks weighed down (Tukey). */
function widen(input: SolveInput, state: State, model: JointModel, from?: Solution): Solution | null {
  let current = state;
  let start = from?.view ?? input.start;
  let startCut = from?.cut ?? new Float64Array(CUT_TERMS[model.cut]);
  let solution: Solution | null = null;
  for (let pass = 0; pass < 4; pass++) {
    const data = dataOf(input, current);
    const fit = fitJointly(data, model, start, startCut);
    if (!fit) return solution;
    const freedom = Math.max(1, 2 * data.marks.length + kept(data.cutWeights) - fit.size);
    solution = { ...fit, data, rejected: current.rejected, freedom, doubtful: false };
    start = fit.view;
    startCut = fit.cut;
    const next = { ...current, ...scales(input, solution) };
    if (pass === 3 || settled(current, next)) break;
    current = next;
  }
  return solution;
}

/** Whether another fit with the new scales and weights would be the same one again: they say nothing to a hundredth. */
function settled(before: State, after: State): boolean {
  const near = (a: number, b: number): boolean => Math.abs(a - b) < 0.01 * b;
  return near(after.markScale, before.markScale) && near(after.cutScale, before.cutScale) && after.cutWeights.every((w, i) => Math.abs(w - before.cutWeights[i]) < 0.02);
}

function kept(weights: Float64Array): number {
  let n = 0;
  for (const w of weights) n += w;
  return n;
}

/**
 * How much more than in a fit to the marks alone the marks may scatter once cuts have their say. Without a bound the many chunks of a cut that is found off together
 * (its lip, a printed line beside it) bend view and board to themselves, the marks are widened for being left behind, and then weigh nothing against it.
 */
const MARKS_GIVE_WAY = 2;

/** Prior strength, in observations, of the stated mark uncertainties: with few marks their own scatter says little. */
const MARK_PRIOR = 4;

function scales(input: SolveInput, s: Solution): Pick<State, "markScale" | "cutScale" | "cutWeights"> {
  const z = s.cutResiduals;
  const spread = z.length > 0 ? robustSigma(z) : 1;
  const cutWeights = z.map((r) => {
    const u = r / (5 * Math.max(spread, 0.3));
    return Math.abs(u) < 1 ? (1 - u * u) ** 2 : 0;
  });
  // The residuals are in units that already hold the last pass's scale and correlation: take that out, put the new one in.
  const raw = spread * s.data.cutScale;
  const cutScale = z.length > 0 ? Math.max(raw, 0.3) * Math.sqrt(alike(z, input.cuts, input.paths, spread)) * (input.doubt ?? 1) : 1;
  const squares = s.markResiduals.reduce((a, r) => a + r * r, 0);
  const most = input.markScale === undefined ? Infinity : MARKS_GIVE_WAY * input.markScale;
  const markScale = Math.min(most, Math.max(1, s.data.markScale * Math.sqrt((MARK_PRIOR / s.data.markScale ** 2 + squares) / (MARK_PRIOR + s.markFreedom))));
  return { markScale, cutScale, cutWeights };
}

/** Takes out the worst mark while it lies beyond 5 of its (robustly widened) sigmas and enough marks remain. */
function throwOut(input: SolveInput, first: Solution): { solution: Solution; rejected: number[] } {
  let solution = first;
  const rejected: number[] = [];
  for (;;) {
    const marks = input.marks.map((_, i) => i).filter((i) => !rejected.includes(i));
    if (marks.length <= Math.max(input.fewestMarks, 5)) break;
    const sizes = marks.map((_, k) => Math.hypot(solution.markResiduals[2 * k], solution.markResiduals[2 * k + 1]));
    const typical = medianOf(sizes);
    const worst = sizes.indexOf(Math.max(...sizes));
    if (sizes[worst] < 6 * Math.max(typical, 0.5 / solution.data.markScale)) break;
    rejected.push(marks[worst]);
    const again = widen(input, { ...prepare(input), rejected: [...rejected] }, solution.model, solution);
    if (!again) break;
    solution = again;
  }
  return { solution, rejected };
}

/**
 * Which view terms stay. A more general view is taken where it lowers the cost beyond doubt; a term is dropped where it does not and where it is known
 * well enough that dropping it is harmless; else it stays, and the uncertainty grows accordingly.
 */
function chooseView(input: SolveInput, start: Solution): Solution {
  let current = start.model.view === "radial" ? wholeLens(input, start) : start;
  const refit = (view: ViewKind): Solution | null => {
    const fit = fitJointly(current.data, { view, cut: current.model.cut }, current.view, current.cut);
    return fit && { ...fit, data: current.data, rejected: current.rejected, freedom: current.freedom, doubtful: current.doubtful };
  };
  const simpler: Partial<Record<ViewKind, ViewKind>> = { radial: "projective", projective: "affine" };
  for (let next = simpler[current.model.view]; next; next = simpler[current.model.view]) {
    const fit = refit(next);
    if (!fit || fit.cost - current.cost > BELIEVED) break;
    if (!harmless(current, next)) {
      current = { ...current, doubtful: true };
      break;
    }
    current = widen(input, stateOf(fit), fit.model, fit) ?? fit;
  }
  if (current.model.view === "affine" && !input.lensKnown) {
    const fit = refit("bowed");
    if (fit && current.cost - fit.cost > BELIEVED) current = widen(input, stateOf(fit), fit.model, fit) ?? fit;
  }
  return current;
}

/**
 * The lens with k2 and a centre of its own (with their priors) where the data ask for them. Its uncertainties are widened anew from the stated ones: what too simple a
 * lens leaves over passes for scatter, and hides that it is too simple. Never one of these terms alone: it would bend to stand in for the others.
 */
function wholeLens(input: SolveInput, simple: Solution): Solution {
  const whole = widen(input, { ...prepare(input), rejected: simple.rejected }, { view: "radial-full", cut: simple.model.cut }, simple);
  if (!whole) return simple;
  const without = fitJointly(whole.data, simple.model, whole.view, whole.cut);
  return without && without.cost - whole.cost < BELIEVED ? simple : whole;
}

function stateOf(s: Solution): State {
  return { rejected: s.rejected, markScale: s.data.markScale, cutScale: s.data.cutScale, cutWeights: s.data.cutWeights };
}

/** Whether the terms that `next` lacks are known well enough that none could move a point at the layout's rim by a tangible amount. */
export function harmless(current: Solution, next: ViewKind): boolean {
  return current.free.every((term, i) => {
    if (FREE_TERMS[next].includes(term)) return true;
    const sigma = Math.sqrt(current.covariance[i * current.size + i]);
    return sigma < 0.5 * (PRIORS[term] ?? Infinity) && rimEffect(current, term, sigma) < NEGLIGIBLE;
  });
}

/** Size (mm at the rim) of what a change of a view term by `delta` does that the affine terms cannot make up for: about a quarter of its full effect. */
function rimEffect(s: Solution, term: number, delta: number): number {
  const scale = Math.sqrt(Math.abs(s.view[0] * s.view[4] - s.view[1] * s.view[3]));
  const { half } = s.data.frame.print;
  // Perspective moves the rim by delta times a half span; the radial term by delta r^3 in half diagonals.
  return term === 6 || term === 7 ? 0.25 * delta * half : (0.25 * delta * Math.max(scale, 0.3) ** 3 * half) / Math.max(scale, 1e-6);
}

/** A taper must lower the cost by this (chi-square with two degrees of freedom, 99 %): without it the scale and skew of a tapered cut are wrong by more than their uncertainty says. */
const TAPERED = 9.2;
/** A taper that bends the cut by less at the half span, mm, is none. */
const LEAST_TAPER = 0.008;

/** Fewer cut terms where the cuts cannot support six; a projective map where they demand it. */
function chooseCut(input: SolveInput, start: Solution): Solution | null {
  if (input.cuts.length === 0) return start;
  let current = start;
  const order: readonly CutKind[] = ["affine", "similarity", "rigid", "shift"];
  for (const [k, kind] of order.entries()) {
    const fit = kind === current.model.cut ? current : widen(input, stateOf(current), { view: current.model.view, cut: kind }, { ...current, cut: current.cut.slice(0, CUT_TERMS[kind]) });
    if (!fit) continue;
    current = fit;
    if (k === order.length - 1 || supported(fit, input.frame.print.half)) break;
  }
  if (current.model.cut === "affine") {
    const cut = new Float64Array(8);
    cut.set(current.cut);
    const fit = fitJointly(current.data, { view: current.model.view, cut: "projective" }, current.view, cut);
    if (fit && current.cost - fit.cost > TAPERED && Math.hypot(fit.cut[6], fit.cut[7]) > LEAST_TAPER && supported({ ...current, ...fit }, input.frame.print.half)) {
      const wide = widen(input, stateOf(current), fit.model, { ...current, ...fit });
      if (wide) current = wide;
    }
  }
  return current;
}

/** Terms are supported when the data know each to within a third of its prior; `half`: the half span, mm. */
export function supported(s: JointFit, half: number): boolean {
  for (let i = 2; i < s.cut.length; i++) {
    const k = s.free.length + i;
    if (!(Math.sqrt(s.covariance[k * s.size + k]) < cutPrior(i, half) / 3)) return false;
  }
  return true;
}
