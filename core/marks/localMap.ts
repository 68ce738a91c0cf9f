import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { PlaneBlur } from "./coverage.ts";

/** The way between print plane (mm) and picture (px), lens included; null where it has no answer. */
export interface PlaneMap {
  toPicture(p: PrintPoint): PicturePoint | null;
  toPrint(q: PicturePoint): PrintPoint | null;
}

/** A plane map near one place, to second order: exact enough over a mark (perspective bends a circle's image only that much). */
export interface LocalMap {
  /** The place, picture pixels, and the print point there. */
  readonly at: PicturePoint;
  readonly print: PrintPoint;
  /** d(picture)/d(print) there, px per mm: [[a, b], [c, d]]. */
  readonly derivative: readonly [number, number, number, number];
  /** Geometric mean scale, px per mm. */
  readonly scale: number;
  /** A blur of 1 px in the print plane, mm^2. */
  readonly blur: PlaneBlur;
  /** Offset in the print plane (mm) of the pixel offset (dx, dy), into `out`. */
  toPrint(dx: number, dy: number, out: Float64Array): void;
  /** Picture point of the offset (u, v) mm from the local print point. */
  toPicture(u: number, v: number): PicturePoint;
}

/** The local map about picture point `at`, from the map's values on a 3 x 3 grid as wide as a mark of half extent `extent` mm. */
export function localMap(map: PlaneMap, at: PicturePoint, extent: number): LocalMap | null {
  const print = map.toPrint(at);
  if (!print) return null;
  const east = map.toPicture({ x: print.x + extent, y: print.y });
  const north = map.toPicture({ x: print.x, y: print.y + extent });
  if (!east || !north) return null;
  const h = Math.max(2, Math.hypot(east.x - at.x, east.y - at.y), Math.hypot(north.x - at.x, north.y - at.y));
  const grid: PrintPoint[] = [];
  for (const j of [-1, 0, 1]) {
    for (const i of [-1, 0, 1]) {
      const p = map.toPrint({ x: at.x + i * h, y: at.y + j * h });
      if (!p) return null;
      grid.push(p);
    }
  }
  // Second-order Taylor terms by central differences.
  const series = (pick: (p: PrintPoint) => number): number[] => {
    const [sw, s, se, w, c, e, nw, n, ne] = grid.map(pick);
    return [(e - w) / (2 * h), (n - s) / (2 * h), (e + w - 2 * c) / (2 * h * h), (ne - nw - se + sw) / (4 * h * h), (n + s - 2 * c) / (2 * h * h)];
  };
  const x = series((p) => p.x);
  const y = series((p) => p.y);
  const det = x[0] * y[1] - x[1] * y[0];
  if (!(Math.abs(det) > 0)) return null;
  return {
    at, print,
    derivative: [y[1] / det, -x[1] / det, -y[0] / det, x[0] / det],
    scale: 1 / Math.sqrt(Math.abs(det)),
    blur: { xx: x[0] ** 2 + x[1] ** 2, xy: x[0] * y[0] + x[1] * y[1], yy: y[0] ** 2 + y[1] ** 2 },
    toPrint(dx, dy, out) {
      out[0] = x[0] * dx + x[1] * dy + x[2] * dx * dx + x[3] * dx * dy + x[4] * dy * dy;
      out[1] = y[0] * dx + y[1] * dy + y[2] * dx * dx + y[3] * dx * dy + y[4] * dy * dy;
    },
    toPicture: (u, v) => map.toPicture({ x: print.x + u, y: print.y + v }) ?? at,
  };
}
