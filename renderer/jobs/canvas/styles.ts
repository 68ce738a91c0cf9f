import type { Meaning } from "../../../core/job/import/drawing.ts";
import type { LineStyle } from "./drawLines.ts";
import type { LineInks } from "./useLineInks.ts";

/** How lines of each meaning look: told apart by weight and dashes as well as by colour; `chosen` ones are heavier. */
export function stylesOf(inks: LineInks): Record<Meaning, { readonly plain: LineStyle; readonly chosen: LineStyle }> {
  const pair = (ink: string, width: number, dash: readonly number[], order: number) => ({
    plain: { ink, width, dash, order }, chosen: { ink: inks.chosen, width: width + 2, dash, order: order + 10 },
  });
  return {
    nothing: pair(inks.nothing, 1, [], 0),
    mark: pair(inks.mark, 2, [], 1),
    crease: pair(inks.crease, 1.5, [7, 4], 2),
    cut: pair(inks.cut, 1.5, [], 3),
  };
}
