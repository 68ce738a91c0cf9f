import { flattenCut } from "../job/paths.ts";
import type { Job } from "../job/schema.ts";
import type { Framed } from "./imaging.ts";

/** What a picture of the job frames, mm: the sheet, or the box round the piece that is left. */
export function framedArea(job: Job): Framed {
  if (job.state === "in-sheet") return { x0: 0, y0: 0, x1: job.sheet.width, y1: job.sheet.height };
  const points = job.cuts.filter((cut) => cut.kind === "cut").flatMap((cut) => flattenCut(cut, 0.05).flatMap((s) => s.points));
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return { x0: Math.min(...xs), y0: Math.min(...ys), x1: Math.max(...xs), y1: Math.max(...ys) };
}
