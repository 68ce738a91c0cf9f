import { fitAffine } from "../../geometry/fits.ts";
import type { Picture } from "../../image/picture.ts";
import type { Job } from "../../job/schema.ts";
import { SCAN_UNLIKE, unlike } from "./flatEvidence.ts";
import type { Placed } from "./place.ts";
import { scaleOf } from "../view/viewModel.ts";

/** There is no perspective in a flat scan. */
const SCAN_PERSPECTIVE = 0.02;
/** Of so many marks at the most, which leave perspective and lens to what the search makes of their sizes. */
const FEW = 4;
/** Of few marks: a scanner's two scales differ by a few tenths of a per cent at the most, and its file states the scale to this share (common practice, no source). */
const FEW_UNLIKE = 1e-5;
const STATED = 0.02;
/** What scanners are set to, pixels per inch (common practice, no source), for files that do not state it; to this share, which leaves one photo in twenty to pass for a scan. */
const USUAL_DPI = [75, 100, 150, 200, 240, 300, 400, 600, 800, 1200];
const AS_SET = 0.01;
const MM_PER_INCH = 25.4;

/**
 * Whether the rough view is that of a flat scan: the same scale in all directions to within a scanner's faults, no perspective, and the scale that the file states or that scanners are set to. A photo
 * from nearly above has hardly a perspective either, but walls of holes are seen in it, and a board that stands up. Three marks do not tell a perspective, nor four a lens beside it, and what the search
 * makes of their sizes is none: there the map through their places has to be as even as a scanner's, and of the scale that the file states, which a camera's file does not.
 */
export function isFlat({ start, frame, seen }: Pick<Placed, "start" | "frame" | "seen">, job: Job, stated: Picture["density"]): boolean {
  const [a, b, , d, e, , g, h] = start;
  const even = unlike([a, b, d, e]) < SCAN_UNLIKE && Math.hypot(g, h) < SCAN_PERSPECTIVE;
  if (even && isScanned(scaleOf(start, frame), stated)) return true;
  if (seen.length < 3 || seen.length > FEW || !stated) return false;
  const through = fitAffine<"print", "picture">(seen.map(({ mark, refined }) => ({ from: job.marks[mark], to: refined.at })));
  if (!through.ok) return false;
  const [p, q, , r, s] = through.parameters;
  return unlike([p, q, r, s]) < FEW_UNLIKE && isStated(Math.sqrt(Math.abs(p * s - q * r)), stated);
}

/** Whether a scale, px/mm, is a scan's. */
function isScanned(pxPerMm: number, stated: Picture["density"]): boolean {
  return isStated(pxPerMm, stated) || USUAL_DPI.some((dpi) => Math.abs((MM_PER_INCH * pxPerMm) / dpi - 1) < AS_SET);
}

function isStated(pxPerMm: number, stated: Picture["density"]): boolean {
  return stated !== undefined && [stated.x, stated.y].every((dpi) => Math.abs((MM_PER_INCH * pxPerMm) / dpi - 1) < STATED);
}
