import { fitJointly } from "./joint.ts";
import type { Solution, SolveInput } from "./solution.ts";
import { FREE_TERMS, PRIORS, type ViewKind } from "../view/viewModel.ts";
import { richer, stateOf, widen } from "./widen.ts";

/** A term must lower the cost by this (in units of the widened variance) to be believed: about 4 sigma, as residuals are not quite independent. */
export const BELIEVED = 16;
/** A doubtful term that could move a point at half the diagonal by more than this (mm) stays, with its uncertainty. */
const NEGLIGIBLE = 0.02;

/**
 * Which view terms stay. A more general view is taken where it lowers the cost beyond doubt; a term is dropped where it does not and where it is known
 * well enough that dropping it is harmless; else it stays, and the uncertainty grows accordingly.
 */
export function chooseView(input: SolveInput, start: Solution): Solution {
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

/** The lens with k2 and a centre of its own (with their priors) where the data ask for them. Never one of these terms alone: it would bend to stand in for the others. */
function wholeLens(input: SolveInput, simple: Solution): Solution {
  const asked = richer(input, simple, { view: "radial-full", cut: simple.model.cut }, BELIEVED);
  return !asked || (asked.gain !== null && asked.gain < BELIEVED) ? simple : asked.whole;
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
