import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { Picture } from "../image/picture.ts";
import type { Job } from "../job/schema.ts";
import type { Placed } from "./place.ts";

/** Scale in all directions is alike (see `unlike`), and there is no perspective, in a flat scan. */
const SCAN_UNLIKE = 2e-4;
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
  const map = mapThrough(seen.map(({ mark }) => job.marks[mark]), seen.map(({ refined }) => refined.at));
  if (!map || !(unlike(map) < THREE_UNLIKE)) return false;
  const scale = MM_PER_INCH * Math.sqrt(Math.abs(map[0] * map[3] - map[1] * map[2]));
  return [stated.x, stated.y].every((s) => Math.abs(scale / s - 1) < STATED);
}

/** Half the squared difference of the largest and the smallest scale of a plane map, as a share. */
function unlike([a, b, d, e]: readonly number[]): number {
  return (a * a + b * b + d * d + e * e) / (2 * Math.abs(a * e - b * d)) - 1;
}

/** Linear part, row by row, of the affine map that takes three print points to three picture points; null where the former lie in a line. */
function mapThrough([p, q, r]: readonly Pick<PrintPoint, "x" | "y">[], [s, t, u]: readonly PicturePoint[]): readonly number[] | null {
  const [ax, ay, bx, by] = [q.x - p.x, q.y - p.y, r.x - p.x, r.y - p.y];
  const det = ax * by - ay * bx;
  if (Math.abs(det) < 1e-9) return null;
  const row = (first: number, second: number): [number, number] => [(first * by - second * ay) / det, (second * ax - first * bx) / det];
  return [...row(t.x - s.x, u.x - s.x), ...row(t.y - s.y, u.y - s.y)];
}
