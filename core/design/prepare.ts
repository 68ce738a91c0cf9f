import { CUT_TERMS, type CutKind } from "../check/fit/cutMap.ts";
import type { CutSighting, JointData, MarkSighting } from "../check/fit/equations.ts";
import { fitJointly } from "../check/fit/joint.ts";
import { lensFor } from "../camera/match.ts";
import { edgePriors } from "../check/fit/edgePriors.ts";
import { shiftsAt, type Nuisance } from "../check/view/nuisance.ts";
import { nuisancesOf } from "../check/view/nuisancesOf.ts";
import { supported } from "../check/fit/chooseCut.ts";
import { harmless } from "../check/fit/chooseView.ts";
import type { Solution } from "../check/fit/solution.ts";
import { planeMap, viewOf, type ViewKind } from "../check/view/viewModel.ts";
import { datumOf, type Job, type Mark } from "../job/schema.ts";
import { eyeOf, type Eye } from "../witness/eye.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { expectedCuts } from "./cutSightings.ts";
import { expectedMark } from "./sightings.ts";
import type { Setup } from "./setup.ts";
import { viewpointOf, type NoView, type Viewpoint } from "./viewpoint.ts";

/** All that a picture will say, as the check's joint fit takes it. */
export interface Prepared extends Viewpoint {
  readonly job: Job;
  readonly map: PlaneMap;
  readonly marks: readonly MarkSighting[];
  /** What displaces the picture smoothly and is not quite known, as the check has it. */
  readonly nuisances: readonly Nuisance[];
  readonly cuts: readonly CutSighting[];
  /** Standard uncertainty that the board's wall leaves, mm. */
  readonly wall: number;
  /** Where the camera stands; null for a scanner. */
  readonly eye: Eye | null;
}

/** Places the camera and predicts every sighting of the job. */
export function prepare(job: Job, setup: Setup): ({ readonly ok: true } & Prepared) | NoView {
  const viewpoint = viewpointOf(job, setup);
  if (!viewpoint.ok) return viewpoint;
  const { optics, terms, frame, pxPerMm } = viewpoint;
  const map = planeMap(terms, frame, null);
  const profile = setup.kind === "phone" || !setup.profile ? null : lensFor(setup.profile, optics);
  const nuisances = nuisancesOf({ ...optics, exif: { focalLength35: optics.focal35 } }, job, profile, terms, frame, optics.focal === null);
  const marks = job.marks.map((m, i) => sightMark({ map, optics, nuisances }, m, i)).filter((m) => m !== null);
  const eye = optics.focal === null ? null : eyeOf(viewOf(terms, frame).homography.m, optics.focal, { x: (optics.width - 1) / 2, y: (optics.height - 1) / 2 });
  const { cuts, wall } = expectedCuts(job, map, optics.light, pxPerMm, eye);
  if (cuts.length === 0) return { ok: false, reason: "The job has no cut whose place could be measured.", hint: "Add a cut to the job." };
  return { ...viewpoint, job, map, marks, cuts: cuts.map((c) => ({ ...c, shifts: shiftsAt(nuisances, c.seen) })), nuisances, wall, eye };
}

/** A mark as it will be seen; null where it lies outside the picture. */
export function sightMark({ map, optics, nuisances }: Pick<Prepared, "map" | "optics" | "nuisances">, mark: Mark, index: number): MarkSighting | null {
  const sighting = expectedMark(mark, index, map, optics.light);
  return sighting && { ...sighting, shifts: shiftsAt(nuisances, sighting.seen) };
}

/** The data of the joint fit with these marks: each sighting where it is expected, so that nothing is left over. */
export function jointData(p: Prepared, marks: readonly MarkSighting[]): JointData {
  return {
    marks, cuts: p.cuts, frame: p.frame, datum: datumOf(p.job), markScale: 1, cutScale: 1, cutWeights: new Float64Array(p.cuts.length).fill(1),
    edgePriors: edgePriors(p.job, p.optics.focal === null, p.optics.light.blur / p.pxPerMm), nuisances: p.nuisances,
  };
}

/** The view's terms that the check will have to find from the picture itself. */
export function firstView(p: Viewpoint): ViewKind {
  return p.optics.focal === null ? "affine" : p.optics.lensKnown ? "projective" : "radial";
}

/**
 * The joint fit that the check will come to, chosen by its own rules: a lens that the picture shows to be harmless is dropped, a cut map of fewer terms is
 * taken where the cuts do not support six. Null where the marks do not determine the view.
 */
export function expectedSolution(p: Prepared, marks: readonly MarkSighting[]): Solution | null {
  const data = jointData(p, marks);
  const fit = (view: ViewKind, cut: CutKind): Solution | null => {
    const joint = fitJointly(data, { view, cut }, p.terms, new Float64Array(CUT_TERMS[cut]));
    return joint && { ...joint, data, rejected: [], freedom: Math.max(1, 2 * marks.length + p.cuts.length - joint.size), doubtful: false };
  };
  const first = fit(firstView(p), "affine");
  if (!first) return null;
  const plain = first.model.view === "radial" && harmless(first, "projective");
  let solution: Solution | null = plain ? fit("projective", "affine") : { ...first, doubtful: first.model.view === "radial" };
  for (const cut of ["orthogonal", "similarity", "rigid", "shift"] as const) {
    if (!solution || supported(solution, data.frame.print.half)) break;
    const { model, doubtful }: Solution = solution;
    const fewer = fit(model.view, cut);
    solution = fewer && { ...fewer, doubtful };
  }
  return solution;
}
