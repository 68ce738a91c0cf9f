import type { Correction } from "../check/record.ts";
import type { CutterPoint, PrintPoint } from "../geometry/frames.ts";
import type { Job } from "../job/schema.ts";

/** The error of a cut about the datum, print frame (contract section 1): mm, and mm/m. */
export interface CutError {
  readonly x: number;
  readonly y: number;
  readonly rotation: number;
  readonly skew: number;
  readonly scaleX: number;
  readonly scaleY: number;
}

type Side = Pick<Job, "cutFrom" | "flip">;

/** +1 or -1 for each axis: how a vector of the print frame reads in the cutter frame, and how a turn does. */
function flipSigns(job: Side): { x: 1 | -1; y: 1 | -1; turn: 1 | -1 } {
  if (job.cutFrom === "print") return { x: 1, y: 1, turn: 1 };
  return job.flip === "x" ? { x: -1, y: 1, turn: -1 } : { x: 1, y: -1, turn: -1 };
}

/** A point of the print frame as the cutter sees it (contract section 1): x_c = W - x_p when flipped over x, y_c = H - y_p over y. */
export function toCutter(job: Side & Pick<Job, "sheet">, p: PrintPoint): CutterPoint {
  const { x, y } = flipSigns(job);
  return { x: x > 0 ? p.x : job.sheet.width - p.x, y: y > 0 ? p.y : job.sheet.height - p.y };
}

/**
 * What to add to the cutter's own settings to undo `error`: the opposite of the error, seen from the side the blade enters.
 * A sheet turned over shows one shift component and the turn with the other sign; stretches look the same from both
 * sides. Turn and stretch are about the datum. Skew is not a setting of a cutter and is left in.
 *
 * Undoes the error to first order (what is left is of the size of the error times itself, 0.1 micrometre for 0.3 mm/m).
 * Example: x 0.112, y -0.041, rotation 0.31, scale -0.12 / 0.08 on a sheet flipped over x gives 0.112, 0.041, 0.31, 0.12, -0.08.
 */
export function correction(job: Side, error: CutError): Correction {
  const sign = flipSigns(job);
  return {
    frame: "cutter",
    x: opposite(sign.x * error.x),
    y: opposite(sign.y * error.y),
    rotation: opposite(sign.turn * error.rotation),
    scaleX: opposite(error.scaleX),
    scaleY: opposite(error.scaleY),
  };
}

/** -value, without the -0 that JSON would lose. */
function opposite(value: number): number {
  return value === 0 ? 0 : -value;
}
