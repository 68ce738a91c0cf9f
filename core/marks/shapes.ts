import type { Mark } from "../job/schema.ts";

/** Half the extent of a mark, mm: no ink lies further from the centre. */
export function reach(mark: Mark): number {
  switch (mark.shape) {
    case "dot":
    case "checker":
      return mark.diameter / 2;
    case "ring":
      return mark.outer / 2;
    case "square":
      return mark.size / Math.SQRT2;
    case "cross":
      return Math.hypot(mark.size, mark.stroke) / 2;
  }
}

/** Inked area of a mark, mm^2. */
export function inkArea(mark: Mark): number {
  switch (mark.shape) {
    case "dot":
      return (Math.PI / 4) * mark.diameter ** 2;
    case "ring":
      return (Math.PI / 4) * (mark.outer ** 2 - mark.inner ** 2);
    case "checker":
      return (Math.PI / 8) * mark.diameter ** 2;
    case "square":
      return mark.size ** 2;
    case "cross":
      return 2 * mark.size * mark.stroke - mark.stroke ** 2;
  }
}
