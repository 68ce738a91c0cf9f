import type { PicturePoint } from "../geometry/frames.ts";
import type { Picture } from "../image/picture.ts";
import { samplerOf } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import { placeLayout } from "./layout/place.ts";
import { tiltOf } from "./view/tilt.ts";
import { sharpestBlur } from "./sharpness.ts";
import { medianOf } from "../statistics/median.ts";
import { viewOf } from "./view/viewModel.ts";

/** What a live picture promises, before it is taken: no measurement, only what helps to aim. */
export interface SheetPreview {
  /** Where the job's marks are, picture pixels; empty where the layout is not found. */
  readonly marks: readonly PicturePoint[];
  /** How many marks the job has. */
  readonly of: number;
  /** Blur (sigma) of the marks' edges, of the sharpest edges where no marks are found, px; null where there is no clear edge. */
  readonly blur: number | null;
  /** Angle between the sheet's normal and the optical axis, degrees; null where the layout is not found. */
  readonly tilt: number | null;
}

/** Fewest marks by which a layout is believed (contract: 3 in a scan). */
const FEWEST = 3;

/** Finds the layout by the steps of `checkSheet` and stops there. The tilt is that of the rough view: good to a few degrees. */
export function previewSheet(picture: Picture, job: Job): SheetPreview {
  const sampler = samplerOf(picture);
  // A live picture cannot wait for a code to be looked for all over it.
  const placed = placeLayout(picture, sampler, job, FEWEST, () => null);
  if (!placed.ok) return { marks: [], of: job.marks.length, blur: sharpestBlur(sampler), tilt: null };
  return {
    marks: placed.seen.map(({ refined }) => refined.at),
    of: job.marks.length,
    blur: medianOf(placed.seen.map(({ refined }) => refined.blur)),
    tilt: tiltOf(viewOf(placed.start, placed.frame), picture, null),
  };
}
