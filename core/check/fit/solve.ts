import { medianOf } from "../../statistics/median.ts";
import { chooseCut } from "./chooseCut.ts";
import { BELIEVED, chooseView } from "./chooseView.ts";
import type { CutSighting, MarkSighting } from "./equations.ts";
import { fitJointly } from "./joint.ts";
import { shiftsAt } from "../view/nuisance.ts";
import type { Solution, SolveInput } from "./solution.ts";
import type { ViewKind } from "../view/viewModel.ts";
import { dataOf, prepare, stateOf, widen, type State } from "./widen.ts";

/**
 * Fits the most general model that may apply, widens uncertainties to the scatter seen, throws out outliers, and then takes terms out again while
 * the data do not ask for them and their loss cannot matter. Null where not even the simplest model is determined.
 */
export function solve(given: SolveInput): Solution | null {
  const input = withShifts(given);
  const state = prepare(input);
  // Three marks fix an affine view and no more; more general terms would only be their priors.
  const view: ViewKind = input.flat && input.marks.length < 4 ? "affine" : input.lensKnown ? "projective" : "radial";
  const first = fourOfScan(input, state) ?? widen(input, state, { view, cut: "affine" });
  if (!first) return null;
  const best = throwOut(input, first);
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

/** A mark of which the residual is so many times the usual one is not where the others say; a residual no larger than so many of its own stated deviations is none. */
const PLAINLY_OFF = 6;
const LEAST_OFF = 3;
/** Marks that scatter so many times as much as each of them states are asked one by one: without which they scatter so many times less. One of few draws the view to itself, and its residual is no more than a few times the others'. */
const SCATTERED = 3;

/** Takes out marks that are not where the others say, worst first, while enough remain. */
function throwOut(input: SolveInput, first: Solution): Solution {
  let solution = first;
  while (input.marks.length - solution.rejected.length > Math.max(input.fewestMarks, 5)) {
    const { rejected } = solution;
    const marks = input.marks.map((_, i) => i).filter((i) => !rejected.includes(i));
    const without = (mark: number): Solution | null => widen(input, { ...prepare(input), rejected: [...rejected, mark] }, solution.model, solution);
    const off = plainlyOff(solution);
    const scatter = scatterOf(solution);
    const again = off !== null ? without(marks[off]) : scatter > SCATTERED ? calmest(marks.map(without), scatter) : null;
    if (!again) break;
    solution = again;
  }
  return solution;
}

/** Which of the marks that were fitted has much the largest residual; null where none has. */
function plainlyOff({ markResiduals, data: { marks, markScale } }: Solution): number | null {
  const sizes = marks.map((_, k) => Math.hypot(markResiduals[2 * k], markResiduals[2 * k + 1]));
  const worst = sizes.indexOf(Math.max(...sizes));
  return sizes[worst] < Math.max(PLAINLY_OFF * medianOf(sizes), LEAST_OFF / markScale) ? null : worst;
}

/** How many times as much as each of them states the marks scatter. */
function scatterOf({ markResiduals, markFreedom, data: { markScale } }: Solution): number {
  return markScale * Math.sqrt(markResiduals.reduce((sum, r) => sum + r * r, 0) / Math.max(1, markFreedom));
}

/** The fit in which the marks scatter least, where that is so much less than they did. */
function calmest(fits: readonly (Solution | null)[], scatter: number): Solution | null {
  const best = fits.reduce((a, b) => (a && (!b || scatterOf(a) <= scatterOf(b)) ? a : b), null);
  return best && scatterOf(best) < scatter / SCATTERED ? best : null;
}
