import type { ProfileMatch } from "../../camera/match.ts";
import { pictureDerivative, type View } from "../../camera/view.ts";
import type { Picture } from "../../image/picture.ts";
import type { Job } from "../../job/schema.ts";
import { correction } from "../../judge/correction.ts";
import { judge } from "../../judge/judge.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { budgetOf } from "../uncertainty/budget.ts";
import type { deviationsOf, StretchDeviation } from "./deviations.ts";
import { estimateOf } from "../uncertainty/estimate.ts";
import { displacement } from "../fit/cutMap.ts";
import { eyeOver } from "../view/eyeOver.ts";
import type { Placed } from "../layout/place.ts";
import { isCutHidden } from "./poorlyFound.ts";
import type { CheckOutcome, LensReport, MarkReport, Measured, ViewReport, WitnessReport } from "../record.ts";
import type { Solution } from "../fit/solution.ts";
import type { WitnessNotRead, WitnessReading } from "../../witness/read.ts";
import { tiltOf } from "../view/tilt.ts";
import { viewOf } from "../view/viewModel.ts";
import { warningsOf } from "./warnings.ts";

export interface ReportInput {
  readonly picture: Picture;
  readonly job: Job;
  readonly image: string;
  readonly sheet: string | undefined;
  readonly placed: Placed;
  readonly solution: Solution;
  readonly deviations: ReturnType<typeof deviationsOf>;
  readonly map: PlaneMap;
  readonly profile: ProfileMatch | null;
  readonly pxPerMm: number;
  readonly blur: number;
  /** Standard uncertainty that the board's wall leaves to all edges over a gap together, by their share of the cuts, mm. */
  readonly wall: number;
  readonly witnesses: readonly (WitnessReading | WitnessNotRead)[];
  readonly warnings: readonly string[];
}

/**
 * Standard uncertainty of a crease's place, mm: its slopes face the light or turn from it, and a valley with one bright and one dark slope looks shifted by a
 * fifth of its width (common practice, no source). What its bright flank tells of that is taken out (see creases/flanks.ts), and this still left where that hardly shows.
 */
const CREASE_LIGHT = 0.12;

/** Puts the solution into the record of the contract and the overlay that the screens draw. */
export function reportOf(input: ReportInput): CheckOutcome {
  const { job, solution, deviations, profile } = input;
  const estimate = estimateOf(solution);
  const view = viewOf(solution.view, input.placed.frame);
  const flat = solution.model.view === "affine" || solution.model.view === "bowed";
  const budget = budgetOf(input, estimate, flat ? null : eyeOver(view, input.picture, profile));
  const withBias = (s: StretchDeviation): StretchDeviation => {
    const u = Math.hypot(s.u, s.lip === null ? budget.expected(s) : budget.seen(s.lip), s.kind === "crease" ? CREASE_LIGHT : 0);
    return { ...s, u, U: 2 * u };
  };
  const stretches = deviations.stretches.map(withBias);
  const cuts = stretches.filter((s) => s.kind === "cut");
  const worst = worstOf(cuts);
  const crease = worstOf(stretches.filter((s) => s.kind === "crease"));
  const { offsetCovariance: c } = estimate;
  const common2 = budget.offset ** 2;
  const [ux, uy] = [Math.hypot(estimate.u.scaleX, budget.scaleX), Math.hypot(estimate.u.scaleY, budget.scaleY)];
  const cov = { xx: c.xx + common2, xy: c.xy, yy: c.yy + common2 };
  const { judged, verdict } = judge({
    position: { value: worst.value, u: worst.u, everywhere: cuts, partly: isCutHidden(deviations.features) || deviations.unseen.some((u) => u.mayHaveLeft) },
    offset: { x: estimate.x, y: estimate.y, cov },
    rotation: { value: estimate.rotation, u: Math.hypot(estimate.u.rotation, budget.rotation) },
    skew: { value: estimate.skew, u: Math.hypot(estimate.u.skew, budget.skew) },
    scale: { x: estimate.scaleX, y: estimate.scaleY, ux, uy },
    ...(crease.feature === "" ? {} : { crease: { value: crease.value, u: crease.u } }),
  }, job.tolerance);
  const record: Measured = {
    format: "kerfmark.check/1", image: input.image, job: job.id, ...(input.sheet === undefined ? {} : { sheet: input.sheet }),
    status: "measured", verdict,
    view: viewReport(input, view, flat),
    model: solution.model.cut,
    offset: { x: estimate.x, y: estimate.y, length: Math.hypot(estimate.x, estimate.y), U: 2 * Math.sqrt(Math.max(cov.xx, cov.yy)) },
    rotation: { value: estimate.rotation, U: 2 * Math.hypot(estimate.u.rotation, budget.rotation) },
    skew: { value: estimate.skew, U: 2 * Math.hypot(estimate.u.skew, budget.skew) },
    scale: { x: estimate.scaleX, y: estimate.scaleY, U: 2 * Math.max(ux, uy) },
    worst: { value: worst.value, U: worst.U, feature: worst.feature, x: worst.x, y: worst.y },
    features: deviations.features.map((f) => (f.coverage > 0 ? { ...f, U: worstOf(stretches.filter((s) => s.feature === f.id)).U } : f)),
    marks: markReports(input),
    ...(input.witnesses.length > 0 ? { witnesses: input.witnesses.map((w) => witnessReport(w, solution)) } : {}),
    judged,
    correction: correction(job, estimate),
    budget: budget.lines,
    warnings: [...input.warnings, ...warningsOf(input)],
  };
  const lens = profile?.kind === "camera" ? profile.lens : view.lens;
  return { record, overlay: { homography: view.homography.m, lens, stretches: stretches.filter((s) => s.seen).map(({ kind: _kind, u: _u, seen: _seen, lip: _lip, ...s }) => s) } };
}

const NOTHING = { feature: "", value: 0, u: 0, U: 0, x: 0, y: 0 };

function worstOf(stretches: readonly StretchDeviation[]): { feature: string; value: number; u: number; U: number; x: number; y: number } {
  return stretches.reduce<{ feature: string; value: number; u: number; U: number; x: number; y: number }>((a, b) => (a.feature === "" || Math.abs(b.value) > Math.abs(a.value) ? b : a), NOTHING);
}

function viewReport(input: ReportInput, view: View, flat: boolean): ViewReport {
  const { job, profile, picture } = input;
  const centre = { x: job.sheet.width / 2, y: job.sheet.height / 2 };
  const [a, b, c, d] = pictureDerivative(view, centre.x, centre.y);
  return {
    turn: (Math.atan2(-b, -d) * 180) / Math.PI,
    // The print's y runs up and the picture's down: unmirrored, the map turns the hand over.
    mirrored: a * d - b * c > 0,
    pxPerMm: Math.sqrt(Math.abs(a * d - b * c)),
    tilt: flat ? 0 : tiltOf(view, picture, profile),
    kind: flat ? "affine" : "projective",
    lens: lensReport(input),
  };
}

function lensReport({ solution, profile }: ReportInput): LensReport {
  if (profile?.kind === "camera") {
    const { k1, k2, p1, p2, k3, cx, cy } = profile.lens;
    return { source: "profile", k1, k2, p1, p2, k3, cx, cy };
  }
  if (profile?.kind === "scanner") return { source: "profile" };
  const view = viewOf(solution.view, solution.data.frame);
  if (!view.lens) return { source: "none" };
  const { k1, k2, cx, cy } = view.lens;
  return { source: "self", k1, ...(k2 === 0 ? {} : { k2 }), ...(solution.model.view === "radial-full" ? { cx, cy } : {}) };
}

function markReports({ job, placed, map, pxPerMm }: ReportInput): MarkReport[] {
  return job.marks.map((mark, i) => {
    const seen = placed.seen.find((s) => s.mark === i);
    if (!seen) return { id: mark.id, found: false };
    const back = map.toPrint(seen.refined.at);
    const expected = map.toPicture(mark);
    const residual = back ? Math.hypot(back.x - mark.x, back.y - mark.y) : expected ? Math.hypot(expected.x - seen.refined.at.x, expected.y - seen.refined.at.y) / pxPerMm : 0;
    return { id: mark.id, found: true, x: seen.refined.at.x, y: seen.refined.at.y, residual };
  });
}

function witnessReport(w: WitnessReading | WitnessNotRead, { cut, data: { datum, frame } }: Solution): WitnessReport {
  const about = { ring: w.ring, hole: w.hole, ...w.at, common: displacement(cut, datum, frame.print.half, w.at) };
  return w.ok ? { ...about, offset: { x: w.x, y: w.y, length: Math.hypot(w.x, w.y), U: w.U } } : { ...about, reason: w.reason };
}
