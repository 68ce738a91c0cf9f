import { useCallback, useMemo } from "react";
import type { PrintPoint } from "../../../core/geometry/frames.ts";
import type { Box } from "../../../core/geometry/polygon.ts";
import type { UncertaintyMap } from "../../../core/design/predict.ts";
import { markSize } from "../../../core/job/markSize.ts";
import type { Job } from "../../../core/job/schema.ts";
import { useFigures } from "../../settings/useSettings.tsx";
import type { StyleOf } from "../canvas/drawLines.ts";
import { drawCode, drawLabel, drawMark, drawPaper, drawRing, plotOf } from "../canvas/drawSheet.ts";
import type { Scene } from "../canvas/painter.ts";
import { stylesOf } from "../canvas/styles.ts";
import { useLineInks } from "../canvas/useLineInks.ts";
import type { CutLines } from "../edit/useCutLines.ts";
import { drawMap } from "./drawMap.ts";
import type { Offer } from "./ProposeForm.tsx";

const NONE: readonly Box[] = [];

/** The sheet with its map, its marks by name, the areas of artwork, and what is proposed. */
export function useDesignScene(job: Job, cutLines: CutLines, map: UncertaintyMap | null, artwork: readonly Box[] = NONE, offer: Offer | null, spot: PrintPoint | null): Scene {
  const inks = useLineInks();
  const figures = useFigures();
  const styles = useMemo(() => stylesOf(inks), [inks]);
  const styleOf = useCallback<StyleOf>((owner) => {
    const cut = cutLines.cuts[owner];
    return cut ? styles[cut.kind].plain : null;
  }, [styles, cutLines.cuts]);
  return useMemo<Scene>(() => ({
    height: job.sheet.height, lines: cutLines.lines, styleOf,
    under(g, view, size) {
      const plot = plotOf(view, job.sheet.height);
      drawPaper(g, plot, size, job.sheet, inks);
      if (map) drawMap(g, plot, map, { ink: inks.map, text: inks.text, paper: inks.paper, small: inks.small, figure: (mm) => figures.length(mm) });
    },
    over(g, view) {
      const plot = plotOf(view, job.sheet.height);
      g.strokeStyle = inks.nothing;
      g.lineWidth = 1;
      for (const [left, bottom, right, top] of artwork) g.strokeRect(plot.x(left), plot.y(top), (right - left) * plot.scale, (top - bottom) * plot.scale);
      const replaced = offer?.kind === "marks";
      for (const mark of job.marks) {
        drawMark(g, plot, mark, replaced ? inks.nothing : inks.mark);
        if (!replaced) drawLabel(g, plot, mark, mark.id, inks);
      }
      for (const code of job.codes) drawCode(g, plot, code, inks.mark, inks.paper);
      for (const mark of offer?.marks ?? []) {
        drawMark(g, plot, mark, inks.chosen);
        drawRing(g, plot, mark, markSize(mark), inks.chosen, true);
      }
      g.strokeStyle = inks.chosen;
      g.lineWidth = 1.5;
      for (const cut of offer?.cuts ?? []) {
        if (!("circle" in cut)) continue;
        g.beginPath();
        g.arc(plot.x(cut.circle.x), plot.y(cut.circle.y), (cut.circle.diameter * plot.scale) / 2, 0, 2 * Math.PI);
        g.stroke();
      }
      if (spot) drawRing(g, plot, spot, 6, inks.chosen);
    },
  }), [job, cutLines.lines, styleOf, inks, map, artwork, offer, spot, figures]);
}
