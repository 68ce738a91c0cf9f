import type { ProfileMatch } from "../camera/match.ts";
import { pictureDerivative, type View } from "../camera/view.ts";
import type { Picture } from "../image/picture.ts";
import type { Job } from "../job/schema.ts";
import { correction } from "../judge/correction.ts";
import { judge } from "../judge/judge.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { budgetOf } from "./budget.ts";
import type { deviationsOf, StretchDeviation } from "./deviations.ts";
import { estimateOf } from "./estimate.ts";
import { displacement } from "./cutMap.ts";
import type { Placed } from "./place.ts";
import { isCutHidden } from "./poorlyFound.ts";
import type { CheckOutcome, LensReport, MarkReport, Measured, ViewReport, WitnessReport } from "./record.ts";
import type { Solution } from "./solution.ts";
import type { WitnessNotRead, WitnessReading } from "../witness/read.ts";
import { viewOf } from "./viewModel.ts";
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
  /** Standard uncertainty that the lips of the cuts leave, mm. */
  readonly lip: number;
  /** Standard uncertainty that the board's wall leaves to all edges over a gap together, by their share of the cuts, mm. */
  readonly wall: number;
  readonly witnesses: readonly (WitnessReading | WitnessNotRead)[];
  readonly warnings: readonly string[];
}

/**
 * Standard uncertainty of a crease's place, mm: its slopes face the light or turn from it, and a valley with one bright and one dark slope looks shifted by a
 * fifth of its width (common practice, no source).
 */
const CREASE_LIGHT = 0.12;

/** Puts the solution into the record of the contract and the overlay that the screens draw. */
export function reportOf(input: ReportInput): CheckOutcome {
  const { job, solution, deviations, profile } = input;
  const estimate = estimateOf(solution);
  const view = viewOf(solution.view, input.placed.frame);
  const seen = viewReport(input, view);
  const budget = budgetOf(input, estimate, seen.tilt);
  const withBias = (s: StretchDeviation): StretchDeviation => {
    const u = Math.hypot(s.u, s.kind === "crease" ? Math.hypot(budget.common, CREASE_LIGHT) : budget.common);
    return { ...s, u, U: 2 * u };
  };
  const stretches = deviations.stretches.map(withBias);
  const worst = worstOf(stretches.filter((s) => s.kind === "cut"));
  const crease = worstOf(stretches.filter((s) => s.kind === "crease"));
  const { offsetCovariance: c } = estimate;
  const common2 = budget.offset ** 2;
  const [ux, uy] = [Math.hypot(estimate.u.scaleX, budget.scaleX), Math.hypot(estimate.u.scaleY, budget.scaleY)];
  const cov = { xx: c.xx + common2, xy: c.xy, yy: c.yy + common2 };
  const { judged, verdict } = judge({
    position: { value: worst.value, u: worst.u, partly: isCutHidden(deviations.features) },
    offset: { x: estimate.x, y: estimate.y, cov },
    rotation: { value: estimate.rotation, u: Math.hypot(estimate.u.rotation, budget.rotation) },
    skew: { value: estimate.skew, u: Math.hypot(estimate.u.skew, budget.skew) },
    scale: { x: estimate.scaleX, y: estimate.scaleY, ux, uy },
    ...(crease.feature === "" ? {} : { crease: { value: crease.value, u: crease.u } }),
  }, job.tolerance);
  const record: Measured = {
    format: "kerfmark.check/1", image: input.image, job: job.id, ...(input.sheet === undefined ? {} : { sheet: input.sheet }),
    status: "measured", verdict,
    view: seen,
    model: solution.model.cut,
    offset: { x: estimate.x, y: estimate.y, length: Math.hypot(estimate.x, estimate.y), U: 2 * Math.sqrt(Math.max(cov.xx, cov.yy)) },
    rotation: { value: estimate.rotation, U: 2 * Math.hypot(estimate.u.rotation, budget.rotation) },
    skew: { value: estimate.skew, U: 2 * Math.hypot(estimate.u.skew, budget.skew) },
    scale: { x: estimate.scaleX, y: estimate.scaleY, U: 2 * Math.max(ux, uy) },
    worst: { value: worst.value, U: worst.U, feature: worst.feature, x: worst.x, y: worst.y },
    features: deviations.features.map((f) => ({ ...f, U: 2 * Math.hypot(f.U / 2, budget.common, f.kind === "crease" ? CREASE_LIGHT : 0) })),
    marks: markReports(input),
    ...(input.witnesses.length > 0 ? { witnesses: input.witnesses.map((w) => witnessReport(w, solution)) } : {}),
    judged,
    correction: correction(job, estimate),
    budget: budget.lines,
    warnings: [...input.warnings, ...warningsOf(input)],
  };
  const lens = profile?.kind === "camera" ? profile.lens : view.lens;
  return { record, overlay: { homography: view.homography.m, lens, stretches: stretches.map(({ kind: _kind, u: _u, ...s }) => s) } };
}

const NOTHING = { feature: "", value: 0, u: 0, U: 0, x: 0, y: 0 };

function worstOf(stretches: readonly StretchDeviation[]): { feature: string; value: number; u: number; U: number; x: number; y: number } {
  return stretches.reduce<{ feature: string; value: number; u: number; U: number; x: number; y: number }>((a, b) => (a.feature === "" || Math.abs(b.value) > Math.abs(a.value) ? b : a), NOTHING);
}

function viewReport(input: ReportInput, view: View): ViewReport {
  const { job, solution, profile, picture } = input;
  const centre = { x: job.sheet.width / 2, y: job.sheet.height / 2 };
  const [a, b, c, d] = pictureDerivative(view, centre.x, centre.y);
  const flat = solution.model.view === "affine" || solution.model.view === "bowed";
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

/**
 * Angle between the sheet's normal and the optical axis, degrees. The columns of K^-1 H are the sheet's axes in the camera's frame up to a factor
 * (Zhang 2000); the focal length is the profile's, else that of the film format in EXIF, else one that makes those axes square and equal.
 */
export function tiltOf(view: View, picture: Picture, profile: ProfileMatch | null): number {
  const m = view.homography.m;
  const lens = profile?.kind === "camera" ? profile.lens : view.lens;
  const cx = lens?.cx ?? (picture.width - 1) / 2;
  const cy = lens?.cy ?? (picture.height - 1) / 2;
  const f = focalLength(m, cx, cy, picture, profile);
  const axis = (i: number): [number, number, number] => [(m[i] - cx * m[6 + i]) / f, (m[3 + i] - cy * m[6 + i]) / f, m[6 + i]];
  const [p, q] = [axis(0), axis(1)];
  const n = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
  return (Math.acos(Math.min(1, Math.abs(n[2]) / Math.hypot(...n))) * 180) / Math.PI;
}

/** The focal length of a picture, px: known, or what the view of the sheet and its own film format tell. */
export function focalLength(m: readonly number[], cx: number, cy: number, picture: Pick<Picture, "width" | "height" | "exif">, profile: ProfileMatch | null): number {
  if (profile?.kind === "camera") return (profile.lens.fx + profile.lens.fy) / 2;
  const diagonal = Math.hypot(picture.width, picture.height);
  if (picture.exif?.focalLength35) return (picture.exif.focalLength35 / Math.hypot(36, 24)) * diagonal;
  // Square axes: (u1 u2 + v1 v2)/f^2 + w1 w2 = 0; equal axes: (|1|^2 - |2|^2)/f^2 + w1^2 - w2^2 = 0. Whichever is better determined.
  const u = [0, 1].map((i) => [m[i] - cx * m[6 + i], m[3 + i] - cy * m[6 + i], m[6 + i]]);
  const square = [u[0][0] * u[1][0] + u[0][1] * u[1][1], u[0][2] * u[1][2]];
  const equal = [u[0][0] ** 2 + u[0][1] ** 2 - u[1][0] ** 2 - u[1][1] ** 2, u[0][2] ** 2 - u[1][2] ** 2];
  // Least squares of A/f^2 + B = 0 over both.
  const f2 = -(square[0] ** 2 + equal[0] ** 2) / (square[0] * square[1] + equal[0] * equal[1]);
  const f = Math.sqrt(f2);
  return f > 0.4 * diagonal && f < 4 * diagonal ? f : 0.65 * diagonal;
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
