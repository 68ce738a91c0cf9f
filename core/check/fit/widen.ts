import { normalQuantile, tQuantile } from "../../statistics/distributions.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import { alike } from "./alike.ts";
import { CUT_TERMS } from "./cutMap.ts";
import type { JointData, JointModel } from "./equations.ts";
import { fitJointly } from "./joint.ts";
import type { Solution, SolveInput } from "./solution.ts";

/** How much the stated uncertainties are widened, and what is thrown out or weighed down. */
export interface State {
  readonly rejected: readonly number[];
  readonly markScale: number;
  readonly cutScale: number;
  readonly cutWeights: Float64Array;
}

/** Uncertainties as stated, nothing thrown out. */
export function prepare(input: SolveInput): State {
  return { rejected: [], markScale: 1, cutScale: 1, cutWeights: new Float64Array(input.cuts.length).fill(1) };
}

/** The data of a fit: the marks that were not thrown out, with the uncertainties as widened. */
export function dataOf(input: SolveInput, state: State): JointData {
  return {
    marks: input.marks.filter((_, i) => !state.rejected.includes(i)), cuts: input.cuts, frame: input.frame, datum: input.datum,
    markScale: state.markScale, cutScale: state.cutScale, cutWeights: state.cutWeights, ...(input.edgePriors ? { edgePriors: input.edgePriors } : {}),
    ...(input.nuisances ? { nuisances: input.nuisances } : {}),
  };
}

/** Fits a model and repeats with the uncertainties scaled to the scatter of the residuals, and single chunks weighed down (Tukey). */
export function widen(input: SolveInput, state: State, model: JointModel, from?: Solution): Solution | null {
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

/** Of a cost that falls by less than this share hardly less scatter is left. */
const TANGIBLE = 0.05;

/**
 * A richer model, its uncertainties widened anew from the stated ones: what too simple a model leaves over passes for scatter, and hides that it is too simple. `gain`: by how much it lowers the cost of the simple one under the
 * same uncertainties, null where that is not determined. Null where the richer one is not, and where it lowers the cost by so little under those of the simple one already that with its own it would not do by `asked` either.
 */
export function richer(input: SolveInput, simple: Solution, model: JointModel, asked: number): { whole: Solution; gain: number | null } | null {
  const quick = fitJointly(simple.data, model, simple.view, simple.cut);
  if (!quick || simple.cost - quick.cost < Math.min(asked / 4, TANGIBLE * simple.cost)) return null;
  const whole = widen(input, { ...prepare(input), rejected: simple.rejected }, model, simple);
  if (!whole) return null;
  const without = fitJointly(whole.data, simple.model, whole.view, whole.cut);
  return { whole, gain: without && without.cost - whole.cost };
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
  const freedom = MARK_PRIOR + s.markFreedom;
  const scatter = s.data.markScale * Math.sqrt((MARK_PRIOR / s.data.markScale ** 2 + squares) / freedom);
  // How much marks scatter is told by few of them: U = 2 u holds as often as it should where u is as much wider as Student's t has it (JCGM 100:2008, G.3).
  const markScale = Math.min(most, Math.max(1, (scatter * tQuantile(0.975, freedom)) / normalQuantile(0.975)));
  return { markScale, cutScale, cutWeights };
}

/** The state that a solution was found in. */
export function stateOf(s: Solution): State {
  return { rejected: s.rejected, markScale: s.data.markScale, cutScale: s.data.cutScale, cutWeights: s.data.cutWeights };
}
