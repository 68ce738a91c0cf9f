import { fitAffine } from "../geometry/fits.ts";
import type { Picture } from "../image/picture.ts";
import type { Job } from "../job/schema.ts";
import { SCAN_UNLIKE, unlike } from "./flatEvidence.ts";
import type { Placed } from "./place.ts";

/** There is no perspective in a flat scan. */
const SCAN_PERSPECTIVE = 0.02;
/** Of three marks: a scanner's two scales differ by a few tenths of a per cent at the most, and its file states the scale to this share (common practice, no source). */
const THREE_UNLIKE = 1e-5;
const STATED = 0.02;
const MM_PER_INCH = 25.4;

/**
 * Whether the rough view is that of a flat scan: the same scale in all directions to within a scanner's faults, no perspective. Three marks do not tell a perspective, what the search makes of their sizes
 * is none: there the map through their places has to be as even as a scanner's, and of the scale that the file states, which a camera's file does not.
 */
export function isFlat({ start, seen }: Pick<Placed, "start" | "seen">, job: Job, stated: Picture["density"]): boolean {
  const [a, b, , d, e, , g, h] = start;
  if (unlike([a, b, d, e]) < SCAN_UNLIKE && Math.hypot(g, h) < SCAN_PERSPECTIVE) return true;
  if (seen.length !== 3 || !stated) return false;
  const through = fitAffine<"print", "picture">(seen.map(({ mark, refined }) => ({ from: job.marks[mark], to: refined.at })));
  if (!through.ok) return false;
  const [p, q, , r, s] = through.parameters;
  if (!(unlike([p, q, r, s]) < THREE_UNLIKE)) return false;
  const scale = MM_PER_INCH * Math.sqrt(Math.abs(p * s - q * r));
  return [stated.x, stated.y].every((dpi) => Math.abs(scale / dpi - 1) < STATED);
}
