import type { PrintPoint } from "../../geometry/frames.ts";
import type { CutSighting, JointData, MarkSighting } from "./equations.ts";
import type { JointFit } from "./joint.ts";
import type { Nuisance } from "../view/nuisance.ts";
import type { ViewFrame } from "../view/viewModel.ts";

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
  /** Share of the cuts' pieces that those are (default 1). */
  readonly shown?: number;
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
