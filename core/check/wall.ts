import type { Job } from "../job/schema.ts";

/** Thickness taken where the job states none, mm: E flute (common practice, no source). */
const USUAL_THICKNESS = 1.6;

/**
 * Standard uncertainty of an edge over a gap, mm: seen askew, the board's own wall shows beside the printed face, as wide as the thickness times the tangent
 * of the angle (to about 35 deg at a photo's rim, a few degrees on a scanner), and where it is as bright as the face the edge is taken for the wall's foot.
 */
export function wallOf(job: Job, flat: boolean): number {
  return (flat ? 0.01 : 0.12) * (job.sheet.thickness ?? USUAL_THICKNESS);
}
