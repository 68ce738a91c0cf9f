import type { Picture } from "../image/picture.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import { scaleRange } from "../marks/find.ts";
import { reach } from "../marks/shapes.ts";
import type { Refusal } from "./record.ts";
import { refuse } from "./refusals.ts";
import { sharpestBlur } from "./sharpness.ts";

/** A mark narrower than this, px, cannot be told from a speck. */
const NARROWEST_MARK = 5;
/** Blur (sigma) beyond which a picture is refused, px and, with it, mm. */
const MOST_BLUR = 3;
const MOST_BLUR_MM = 1;
/** A slit of 0.2 mm shows in a third of a pixel at this scale, px/mm: too few pixels may be why cuts are not seen. */
const SPARSE_PX_PER_MM = 1.5;
/** Of a slit of 0.2 mm a fifth of a pixel: whatever is found there is a guess. */
const FEWEST_PX_PER_MM = 1;

/** Pictures too small to show the job's smallest mark, before anything is sought in them. */
export function tooCoarse(picture: Picture, job: Job): Refusal | null {
  const narrowest = Math.min(...job.marks.map((m) => 2 * reach(m)));
  const px = narrowest * largestScale(picture, job);
  if (px >= NARROWEST_MARK) return null;
  return refuse("resolution-too-low", `The picture has ${picture.width} x ${picture.height} pixels: the job's smallest mark would be ${px.toFixed(1)} pixels wide, and ${NARROWEST_MARK} are needed.`);
}

/** The scale at which the marks would just fit into the picture, px/mm. */
function largestScale(picture: Picture, job: Job): number {
  return 1.3 * scaleRange(job, picture).likely;
}

/** Blur as the picture's sharpest edges show it, where no mark is there to tell. */
export function blurRefusal(sampler: Sampler): Refusal | null {
  const blur = sharpestBlur(sampler);
  if (blur === null || blur < MOST_BLUR) return null;
  return refuse("too-blurred", `Even the sharpest edges of the picture are blurred over ${Math.round(2 * blur)} pixels.`);
}

/** Where the marks are not found, too few pixels may be why, however large the sheet is in the picture. */
export function smallRefusal(picture: Picture, job: Job): Refusal | null {
  const pxPerMm = largestScale(picture, job);
  if (pxPerMm >= SPARSE_PX_PER_MM) return null;
  return refuse("resolution-too-low", `The picture has ${picture.width} x ${picture.height} pixels: it can show the sheet at ${pxPerMm.toFixed(1)} pixels per mm at the most, and its marks and cuts are too fine to be seen then.`);
}

/** Where the cuts are not seen, too few pixels may be why. */
export function sparseRefusal(pxPerMm: number): Refusal | null {
  return pxPerMm < SPARSE_PX_PER_MM ? tooFewPixels(pxPerMm) : null;
}

/** A view too coarse or too blurred on the sheet to place a cut in. `blur`: sigma, px. */
export function viewRefusal(pxPerMm: number, blur: number): Refusal | null {
  if (pxPerMm < FEWEST_PX_PER_MM) return tooFewPixels(pxPerMm);
  if (blur / pxPerMm > MOST_BLUR_MM && blur > MOST_BLUR) return refuse("too-blurred", `The picture is blurred over ${(2 * blur / pxPerMm).toFixed(1)} mm on the sheet.`);
  return null;
}

function tooFewPixels(pxPerMm: number): Refusal {
  return refuse("resolution-too-low", `The picture shows the sheet at only ${pxPerMm.toFixed(1)} pixels per mm: the cuts are too fine to be seen in it.`);
}
