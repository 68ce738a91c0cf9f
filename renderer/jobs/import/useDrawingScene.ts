import { useCallback, useMemo } from "react";
import { markSize } from "../../../core/job/markSize.ts";
import { useShop } from "../../settings/useSettings.tsx";
import { drawLabel, drawPaper, drawRing, plotOf } from "../canvas/drawSheet.ts";
import type { StyleOf } from "../canvas/drawLines.ts";
import type { Scene } from "../canvas/painter.ts";
import { stylesOf } from "../canvas/styles.ts";
import { useLineInks } from "../canvas/useLineInks.ts";
import type { DrawingView } from "../worker/protocol.ts";
import type { Choices } from "./choices.ts";

/** The drawing on its sheet: lines in the look of their meaning, page boxes, and the marks that are, or could be, taken. */
export function useDrawingScene(view: DrawingView, { meanings, marks, sheet, shift }: Choices, chosen: number | null): { scene: Scene; styleOf: StyleOf } {
  const { words } = useShop();
  const inks = useLineInks();
  const styles = useMemo(() => stylesOf(inks), [inks]);
  const styleOf = useCallback<StyleOf>((owner) => styles[meanings[owner] ?? "nothing"][owner === chosen ? "chosen" : "plain"], [styles, meanings, chosen]);
  const boxes = words.jobs.import.boxes;
  const scene = useMemo<Scene>(() => ({
    height: sheet.height, lines: view.lines, styleOf,
    under(g, at, size) {
      const plot = plotOf(at, sheet.height);
      drawPaper(g, plot, size, sheet, inks, { x: -shift.x, y: -shift.y });
      g.strokeStyle = inks.edge;
      g.setLineDash([2, 4]);
      for (const [name, [left, bottom, right, top]] of Object.entries(view.boxes)) {
        g.strokeRect(plot.x(left), plot.y(top), (right - left) * plot.scale, (top - bottom) * plot.scale);
        if (name in boxes && name !== "media" && plot.scale * (right - left) > 250) drawLabel(g, plot, { x: left, y: top }, boxes[name as keyof typeof boxes], inks, 8);
      }
      g.setLineDash([]);
    },
    over(g, at) {
      const plot = plotOf(at, sheet.height);
      for (const [i, { mark }] of view.candidates.entries()) {
        drawRing(g, plot, mark, markSize(mark), marks.has(i) ? inks.mark : inks.nothing, !marks.has(i));
      }
    },
  }), [view, styleOf, sheet, shift, inks, marks, boxes]);
  return { scene, styleOf };
}
