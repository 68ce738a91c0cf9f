import type { Mark } from "../job/schema.ts";
import { inkArea } from "./shapes.ts";

/** What a patch of contrast looks like whatever the scale and (nearly) whatever the tilt. */
export interface Descriptor {
  /**
   * 4 pi sqrt(det of the second moments) / area: 1 for a disc or any ellipse, the larger the more the ink is spread out.
   * Invariant under affine maps (the first affine moment invariant of Flusser and Suk, 1993, in another scaling).
   */
  readonly spread: number;
  /** Larger over smaller principal second moment. */
  readonly elongation: number;
}

/** Descriptor of second moments (any unit) and area. */
export function describe(xx: number, xy: number, yy: number, area: number): Descriptor {
  const mean = (xx + yy) / 2;
  const half = Math.hypot((xx - yy) / 2, xy);
  const det = Math.max(mean * mean - half * half, 0);
  return { spread: (4 * Math.PI * Math.sqrt(det)) / area, elongation: (mean + half) / Math.max(mean - half, 1e-9) };
}

/** Second moments of a mark's ink about its centre, mm^2: [xx, xy, yy] (print frame). */
export function inkMoments(mark: Mark): [number, number, number] {
  switch (mark.shape) {
    case "dot": {
      const m = mark.diameter ** 2 / 16;
      return [m, 0, m];
    }
    case "ring": {
      const m = (mark.outer ** 2 + mark.inner ** 2) / 16;
      return [m, 0, m];
    }
    case "square": {
      const m = mark.size ** 2 / 12;
      return [m, 0, m];
    }
    case "cross": {
      const { size, stroke } = mark;
      const m = (size * stroke * (size ** 2 + stroke ** 2) - stroke ** 4) / 12 / inkArea(mark);
      return [m, 0, m];
    }
    case "checker": {
      // Two quarters of a disc: the mixed moment of a quarter is R^4/8, its area pi R^2/4.
      const r = mark.diameter / 2;
      return [r * r / 4, (r * r) / (2 * Math.PI), r * r / 4];
    }
  }
}
