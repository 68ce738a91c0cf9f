import { cutPrior, type CutKind } from "./cutMap.ts";
import { isOverGap } from "./equations.ts";
import { estimateOf } from "../uncertainty/estimate.ts";
import { fitJointly, type JointFit } from "./joint.ts";
import type { Solution, SolveInput } from "./solution.ts";
import { richer, stateOf, widen } from "./widen.ts";

/** A taper must lower the cost by this (chi-square with two degrees of freedom, 99 %): without it the scale and skew of a tapered cut are wrong by more than their uncertainty says. */
const TAPERED = 9.2;
/**
 * Where most of the cuts are edges over a gap a taper must lower the cost by this, under the uncertainties that it leaves itself: what stands about a piece draws its sides unlike, which lowers it by up to 70 on stripped pieces drawn
 * by others without any; a taper of 0.06 mm by 750.
 */
const TAPERED_EDGES = 100;
/** A taper that bends the cut by less at the half span, mm, is none. */
const LEAST_TAPER = 0.008;

/** Any curve must lower the cost by this: what lips do to single directions lowers it too, by up to 38 in 80 pictures without a curve; what bends by 0.05 to 0.1 mm by 50 to 20,000. */
const CURVED = 40;
/** And it must leave so much less scatter than without: else it follows what scatters. */
const CALMER = 0.85;

/** It is told only by most of the cuts: of fewer, what draws those that are seen aside bends the map where nothing is (a turn was off by 0.6 mm/m, U 0.1). */
const MOSTLY_SHOWN = 0.6;

/** What few or close cuts cannot tell apart, a richer map leaves open: where offset, turn, lean or scale become less certain by more than this factor, its terms follow something else. */
const LESS_CERTAIN = 2;

/** Fewer cut terms where the cuts cannot support six; a projective or curved map where they demand it. */
export function chooseCut(input: SolveInput, start: Solution): Solution | null {
  if (input.cuts.length === 0) return start;
  let current = start;
  const order: readonly CutKind[] = ["affine", "orthogonal", "similarity", "rigid", "shift"];
  for (const [k, kind] of order.entries()) {
    const fit = kind === current.model.cut ? current : widen(input, stateOf(current), { view: current.model.view, cut: kind }, current);
    if (!fit) continue;
    current = fit;
    if (k === order.length - 1 || supported(fit, input.frame.print.half)) break;
  }
  if (current.model.cut !== "affine") return current;
  const straight = tapered(input, current);
  return (input.shown ?? 1) < MOSTLY_SHOWN ? straight : curved(input, straight);
}

/** Whether most of the cuts are seen as edges over a gap. */
function mostlyEdges({ cuts }: SolveInput): boolean {
  return 2 * cuts.filter(isOverGap).length > cuts.length;
}

/** The same with a taper where the data demand it. */
function tapered(input: SolveInput, plain: Solution): Solution {
  const fit = fitJointly(plain.data, { view: plain.model.view, cut: "projective" }, plain.view, plain.cut);
  const demanded = fit && plain.cost - fit.cost > TAPERED && Math.hypot(fit.cut[6], fit.cut[7]) > LEAST_TAPER && supported(fit, input.frame.print.half);
  if (!demanded || (mostlyEdges(input) && (richer(input, plain, fit.model, TAPERED_EDGES)?.gain ?? 0) < TAPERED_EDGES)) return plain;
  return widen(input, stateOf(plain), fit.model, { ...plain, ...fit }) ?? plain;
}

/** The same on a curve where the data ask for it: what a straight map leaves over on whole sides passes for what artwork and blade do to them. */
function curved(input: SolveInput, plain: Solution): Solution {
  const asked = richer(input, plain, { view: plain.model.view, cut: "curved" }, CURVED);
  return asked && (asked.gain ?? 0) > CURVED && asked.whole.data.cutScale < CALMER * plain.data.cutScale && isAsCertain(asked.whole, plain) ? asked.whole : plain;
}

/** Whether a richer map leaves the linear terms as certain as a simpler one, or nearly. */
function isAsCertain(richer: Solution, simple: Solution): boolean {
  const [a, b] = [richer, simple].map((solution) => {
    const { u, offsetCovariance: { xx, yy } } = estimateOf(solution);
    return [u.rotation, u.skew, u.scaleX, u.scaleY, Math.sqrt(Math.max(xx, yy))];
  });
  return a.every((v, k) => v < LESS_CERTAIN * b[k]);
}

/** Terms are supported when the data know each to within a third of its prior; `half`: the half span, mm. */
export function supported(s: JointFit, half: number): boolean {
  for (let i = 2; i < s.cut.length; i++) {
    const k = s.free.length + i;
    if (!(Math.sqrt(s.covariance[k * s.size + k]) < cutPrior(i, half) / 3)) return false;
  }
  return true;
}
