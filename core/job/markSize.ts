import type { UnnamedMark } from "./schema.ts";

/** The size across of a mark, mm: its diameter, or the side of the square that holds it (a cross before it is turned). */
export function markSize(mark: UnnamedMark): number {
  if (mark.shape === "dot" || mark.shape === "checker") return mark.diameter;
  return mark.shape === "ring" ? mark.outer : mark.size;
}
