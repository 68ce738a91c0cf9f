import type { CheckOutcome, FeatureReport, Measured, StretchReport } from "../../../../core/check/record.ts";
import { flattenCut } from "../../../../core/job/paths.ts";
import { datumOf, type Job } from "../../../../core/job/schema.ts";
import { stretches, type Stretch } from "../../../../core/job/walk.ts";
import { correction } from "../../../../core/judge/correction.ts";
import { judge } from "../../../../core/judge/judge.ts";
import type { NightCheck } from "../../../../core/sample/nightRun.ts";

/** Said on every record of the demo run. */
const DEMO_WARNING = "This record belongs to the demo run: its values were made up, not measured from a picture.";

/** Resolution of the demo's drawings, pixels per mm, and the table seen round the sheet, mm. */
export const DRAWN = { pxPerMm: 2, margin: 8 } as const;

const U = { offset: 0.02, rotation: 0.06, skew: 0.07, scale: 0.05, position: 0.03 };

/** Makes the check records that values of the demo's table stand for: deviations of every stretch by the affine map that they describe, judged as any other sheet. */
export function demoRecorder(job: Job): (values: NightCheck, image: string) => CheckOutcome & { readonly record: Measured } {
  const places = job.cuts.flatMap((cut) => flattenCut(cut).flatMap((path) => stretches(path).map((stretch) => ({ feature: cut.id, ...stretch }))));
  return (values, image) => recordOf(job, values, image, stretchesOf(job, places, values));
}

type Place = Stretch & { readonly feature: string };

function recordOf(job: Job, values: NightCheck, image: string, all: readonly StretchReport[]): CheckOutcome & { readonly record: Measured } {
  const features = featuresOf(job, all);
  const cuts = all.filter((s) => job.cuts.some((c) => c.id === s.feature && c.kind === "cut"));
  const creases = all.filter((s) => !cuts.includes(s));
  const largest = (of: readonly StretchReport[]): StretchReport => of.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a));
  const worst = largest(cuts);
  const { offsetX: x, offsetY: y, rotation, skew, scaleX, scaleY } = values;
  const { judged, verdict } = judge({
    position: { value: worst.value, u: U.position / 2 },
    offset: { x, y, cov: { xx: (U.offset / 2) ** 2, yy: (U.offset / 2) ** 2, xy: 0 } },
    rotation: { value: rotation, u: U.rotation / 2 }, skew: { value: skew, u: U.skew / 2 }, scale: { x: scaleX, y: scaleY, ux: U.scale / 2, uy: U.scale / 2 },
    ...(creases.length > 0 && { crease: { value: largest(creases).value, u: 0.02 } }),
  }, job.tolerance);
  const { pxPerMm: k, margin: m } = DRAWN;
  const seen = (mark: Job["marks"][number]) => ({ id: mark.id, found: true, x: k * (mark.x + m) - 0.5, y: k * (job.sheet.height - mark.y + m) - 0.5, residual: 0.005 });
  return {
    record: {
      format: "kerfmark.check/1", image, job: job.id, sheet: String(values.sheet), status: "measured", verdict,
      view: { turn: 0, mirrored: false, pxPerMm: k, tilt: 0, kind: "affine", lens: { source: "none" } }, model: "affine",
      offset: { x, y, length: Math.hypot(x, y), U: U.offset }, rotation: { value: rotation, U: U.rotation }, skew: { value: skew, U: U.skew },
      scale: { x: scaleX, y: scaleY, U: U.scale }, worst: { value: worst.value, U: U.position, feature: worst.feature, x: worst.x, y: worst.y },
      features, marks: job.marks.map(seen), judged, correction: correction(job, { x, y, rotation, skew, scaleX, scaleY }),
      budget: [{ source: "made up for the demo run", type: "B", value: U.position / 2, unit: "mm", contribution: U.position / 2 }], warnings: [DEMO_WARNING],
    },
    overlay: { homography: [k, 0, k * m - 0.5, 0, -k, k * (job.sheet.height + m) - 0.5, 0, 0, 1], lens: null, stretches: all },
  };
}

/** Deviation of each stretch: the map T about the datum by its four terms, to first order (contract section 1), along the normal. */
function stretchesOf(job: Job, places: readonly Place[], { offsetX, offsetY, rotation, skew, scaleX, scaleY }: NightCheck): StretchReport[] {
  const datum = datumOf(job);
  return places.map(({ feature, midpoint, normal }) => {
    const [x, y] = [midpoint.x - datum.x, midpoint.y - datum.y];
    const dx = offsetX + (scaleX * x + (skew - rotation) * y) / 1000;
    const dy = offsetY + (rotation * x + scaleY * y) / 1000;
    return { feature, ...midpoint, nx: normal.x, ny: normal.y, value: dx * normal.x + dy * normal.y, U: U.position };
  });
}

function featuresOf(job: Job, all: readonly StretchReport[]): FeatureReport[] {
  return job.cuts.map(({ id, kind }) => {
    const values = all.filter((s) => s.feature === id).map((s) => s.value);
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
    return {
      id, kind, mean, max: values.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a)), rms: Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length),
      U: U.position, coverage: 1,
    };
  });
}
