import type { SheetPreview } from "../../core/check/preview.ts";

/** How a reading of the live picture stands: fit to be measured, doubtful, or not. */
export type Aim = "good" | "doubtful" | "poor";

export interface Aims {
  readonly marks: Aim;
  readonly sharpness: Aim;
  readonly tilt: Aim;
  /** Blur in pixels of the picture as it will be taken. */
  readonly blur: number | null;
  /** The first thing to mend, or that all is well. */
  readonly advice: "marks" | "sharpness" | "tilt" | "ready";
}

/** A photo is measured from four marks; beyond a blur of 3 px (sigma) a picture is refused: see core/check/pictureFaults.ts. */
const FEWEST_MARKS = 4;
const BLUR = { good: 1.6, poor: 3 };
/** Degrees: the view's model is made for tilts to about 35 (core/check/view/viewModel.ts); straight from above is measured best. */
const TILT = { good: 15, poor: 30 };

/** @param factor by how much the frame was reduced before it was looked at */
export function aimsOf(preview: SheetPreview, factor: number): Aims {
  const found = preview.marks.length;
  const blur = preview.blur === null ? null : preview.blur * factor;
  const marks = found >= preview.of ? "good" : found >= FEWEST_MARKS ? "doubtful" : "poor";
  const sharpness = grade(blur, BLUR);
  const tilt = grade(preview.tilt, TILT);
  const advice = marks !== "good" ? "marks" : sharpness !== "good" ? "sharpness" : tilt !== "good" ? "tilt" : "ready";
  return { marks, sharpness, tilt, blur, advice };
}

function grade(value: number | null, { good, poor }: { good: number; poor: number }): Aim {
  if (value === null || value > poor) return "poor";
  return value > good ? "doubtful" : "good";
}
