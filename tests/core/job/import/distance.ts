import type { Drawing } from "../../../../core/job/import/drawing.ts";
import { flattenOutline } from "../../../../core/job/import/outline.ts";

export type Line = ReadonlyArray<readonly [number, number]>;

/** The lines of a drawing as chords, mm. */
export function linesOf(drawing: Drawing): Line[] {
  return drawing.outlines.flatMap(({ outline }) => {
    const path = flattenOutline(outline, 0.0005);
    if (!path) return [];
    const points = path.points.map((p) => [p.x, p.y] as const);
    return [path.closed ? [...points, points[0]] : points];
  });
}

/** The largest distance of any point of `from` to the nearest of `to`. */
export function farthest(from: readonly Line[], to: readonly Line[]): number {
  let most = 0;
  for (const line of from) for (const p of line) most = Math.max(most, Math.min(...to.map((t) => nearest(p, t))));
  return most;
}

function nearest([x, y]: readonly [number, number], line: Line): number {
  let least = Infinity;
  for (let i = 0; i + 1 < line.length; i++) {
    const [a, b] = [line[i], line[i + 1]];
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const l = dx * dx + dy * dy;
    const t = l > 0 ? Math.min(1, Math.max(0, ((x - a[0]) * dx + (y - a[1]) * dy) / l)) : 0;
    least = Math.min(least, Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy));
  }
  return least;
}
