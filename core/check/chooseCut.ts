import { CUT_TERMS, cutPrior, type CutKind } from "./cutMap.ts";
import { fitJointly, type JointFit } from "./joint.ts";
import type { Solution, SolveInput } from "./solution.ts";
import { prepare, stateOf, widen } from "./widen.ts";

/** A taper must lower the cost by this (chi-square with two degrees of freedom, 99 %): without it the scale and skew of a tapered cut are wrong by more than their uncertainty says. */
const TAPERED = 9.2;
/** A taper that bends the cut by less at the half span, mm, is none. */
const LEAST_TAPER = 0.008;

/** Any curve must lower the cost by this: what lips do to single directions lowers it too, by up to 38 in 80 pictures without a curve; what bends by 0.05 to 0.1 mm by 50 to 20,000. */
const CURVED = 40;
/** And it must leave so much less scatter than without: else it follows what scatters. */
const CALMER = 0.85;

/** Fewer cut terms where the cuts cannot support six; a projective or curved map where they demand it. */
export function chooseCut(input: SolveInput, start: Solution): Solution | null {
  if (input.cuts.length === 0) return start;
  let current = start;
  const order: readonly CutKind[] = ["affine", "similarity", "rigid", "shift"];
  for (const [k, kind] of order.entries()) {
    const fit = kind === current.model.cut ? current : widen(input, stateOf(current), { view: current.model.view, cut: kind }, { ...current, cut: current.cut.slice(0, CUT_TERMS[kind]) });
    if (!fit) continue;
    current = fit;
    if (k === order.length - 1 || supported(fit, input.frame.print.half)) break;
  }
  if (current.model.cut !== "affine") return current;
  const { half } = input.frame.print;
  current = bent(input, current, "projective", (fit, gain) => gain > TAPERED && Math.hypot(fit.cut[6], fit.cut[7]) > LEAST_TAPER && supported(fit, half));
  return curved(input, current);
}

/**
 * The same on a curve where the data ask for it. As for a lens, the uncertainties are widened anew from the stated ones: what a straight map leaves over on whole sides passes for what artwork and blade
 * do to them, and hides the curve.
 */
function curved(input: SolveInput, plain: Solution): Solution {
  const cut = new Float64Array(CUT_TERMS.curved);
  cut.set(plain.cut);
  const whole = widen(input, { ...prepare(input), rejected: plain.rejected }, { view: plain.model.view, cut: "curved" }, { ...plain, cut });
  const without = whole && fitJointly(whole.data, plain.model, whole.view, whole.cut.slice(0, CUT_TERMS[plain.model.cut]));
  return whole && without && without.cost - whole.cost > CURVED && whole.data.cutScale < CALMER * plain.data.cutScale ? whole : plain;
}

/** The same with quadratic terms where the data demand them: `demanded` is asked of that fit and by how much it lowers the cost. */
function bent(input: SolveInput, plain: Solution, kind: CutKind, demanded: (fit: JointFit, gain: number) => boolean): Solution {
  const cut = new Float64Array(CUT_TERMS[kind]);
  cut.set(plain.cut);
  const fit = fitJointly(plain.data, { view: plain.model.view, cut: kind }, plain.view, cut);
  if (!fit || !demanded(fit, plain.cost - fit.cost)) return plain;
  return widen(input, stateOf(plain), fit.model, { ...plain, ...fit }) ?? plain;
}

/** Terms are supported when the data know each to within a third of its prior; `half`: the half span, mm. */
export function supported(s: JointFit, half: number): boolean {
  for (let i = 2; i < s.cut.length; i++) {
    const k = s.free.length + i;
    if (!(Math.sqrt(s.covariance[k * s.size + k]) < cutPrior(i, half) / 3)) return false;
  }
  return true;
}
