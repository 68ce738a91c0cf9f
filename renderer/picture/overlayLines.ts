import type { CheckOutcome, Measured, StretchReport } from "../../core/check/record.ts";
import type { PicturePoint } from "../../core/geometry/frames.ts";
import { flattenCut } from "../../core/job/paths.ts";
import { markSize } from "../../core/job/markSize.ts";
import type { Job } from "../../core/job/schema.ts";
import type { ToPicture } from "./toPicture.ts";

/** A run of picture points, drawn as one line. */
export interface Line {
  readonly points: readonly PicturePoint[];
  readonly closed: boolean;
}

/** A stretch with its ends carried into the picture: `foot` on the nominal line, `per` the picture step of 1 mm along its normal. */
export interface StretchInPicture {
  readonly report: StretchReport;
  readonly foot: PicturePoint;
  readonly per: { readonly x: number; readonly y: number };
  readonly beyond: boolean;
}

/** A witness that was read: its place in the picture, and the step there by which the cut lies off. */
export interface WitnessInPicture {
  readonly at: PicturePoint;
  readonly off: { readonly x: number; readonly y: number };
  readonly beyond: boolean;
}

/** Everything that is drawn over a picture, in picture pixels; worked out once per outcome. */
export interface OverlayLines {
  readonly cuts: readonly Line[];
  readonly creases: readonly Line[];
  /** Neighbouring stretches of one feature, in order. */
  readonly runs: readonly (readonly StretchInPicture[])[];
  readonly marks: readonly { readonly id: string; readonly at: PicturePoint; readonly radius: number; readonly found: boolean }[];
  readonly witnesses: readonly WitnessInPicture[];
  readonly worst: PicturePoint | null;
  readonly pxPerMm: number;
}

/** Chords of nominal paths on the screen stay this close to the curve, mm: less than a pixel of any picture. */
const TOLERANCE = 0.05;
/** Straight edges are divided, so that a lens can bend them, mm. */
const LONGEST = 20;
/** Stretches further apart than this do not belong to one run, mm (stretches are about 10 mm). */
const APART = 16;

/** All that is drawn over a measured picture, in its pixels. */
export function overlayLines(job: Job, record: Measured, overlay: NonNullable<CheckOutcome["overlay"]>, toPicture: ToPicture): OverlayLines {
  const lines = (kind: "cut" | "crease") => job.cuts.filter((cut) => cut.kind === kind).flatMap((cut) => flattenCut(cut, TOLERANCE)
    .map((path) => ({ points: divided(path.points, path.closed).map((p) => toPicture(p.x, p.y)), closed: path.closed })));
  return {
    cuts: lines("cut"),
    creases: lines("crease"),
    runs: runsOf(overlay.stretches).map((run) => run.map((report) => inPicture(report, job, toPicture))),
    marks: job.marks.map((mark) => markInPicture(mark, record, toPicture)),
    witnesses: (record.witnesses ?? []).flatMap(({ x, y, offset }) => {
      if (!offset) return [];
      const [at, tip] = [toPicture(x, y), toPicture(x + offset.x, y + offset.y)];
      return [{ at, off: { x: tip.x - at.x, y: tip.y - at.y }, beyond: offset.length > job.tolerance.position }];
    }),
    worst: record.worst.feature ? toPicture(record.worst.x, record.worst.y) : null,
    pxPerMm: record.view.pxPerMm,
  };
}

function divided(points: readonly { x: number; y: number }[], closed: boolean): { x: number; y: number }[] {
  const out: { x: number; y: number }[] = [];
  const last = closed ? points.length : points.length - 1;
  for (let i = 0; i < last; i++) {
    const a = points[i];
    const b = points[(i + 1) % points.length];
    const n = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / LONGEST));
    for (let k = 0; k < n; k++) out.push({ x: a.x + ((b.x - a.x) * k) / n, y: a.y + ((b.y - a.y) * k) / n });
  }
  if (!closed) out.push(points[points.length - 1]);
  return out;
}

/** Splits stretches into runs of neighbours along one feature. */
export function runsOf(stretches: readonly StretchReport[]): StretchReport[][] {
  const runs: StretchReport[][] = [];
  let last: StretchReport | undefined;
  for (const stretch of stretches) {
    const near = last && last.feature === stretch.feature && Math.hypot(stretch.x - last.x, stretch.y - last.y) <= APART;
    // Across a corner the deviations belong to different edges: joining them would cut the corner off.
    const joined = near && last && stretch.nx * last.nx + stretch.ny * last.ny > 0.8;
    if (joined) runs[runs.length - 1].push(stretch);
    else runs.push([stretch]);
    last = stretch;
  }
  return runs;
}

function inPicture(report: StretchReport, job: Job, toPicture: ToPicture): StretchInPicture {
  const foot = toPicture(report.x, report.y);
  const tip = toPicture(report.x + report.nx, report.y + report.ny);
  const crease = job.cuts.find((cut) => cut.id === report.feature)?.kind === "crease";
  const limit = crease ? job.tolerance.crease : job.tolerance.position;
  return { report, foot, per: { x: tip.x - foot.x, y: tip.y - foot.y }, beyond: limit !== undefined && Math.abs(report.value) > limit };
}

function markInPicture(mark: Job["marks"][number], record: Measured, toPicture: ToPicture) {
  const report = record.marks.find((one) => one.id === mark.id);
  const predicted = toPicture(mark.x, mark.y);
  const at = report?.found && report.x !== undefined && report.y !== undefined ? { x: report.x, y: report.y } : predicted;
  return { id: mark.id, at, radius: (markSize(mark) / 2) * record.view.pxPerMm, found: report?.found ?? false };
}
