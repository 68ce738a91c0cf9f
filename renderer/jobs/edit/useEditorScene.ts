import { useCallback, useMemo } from "react";
import { markSize } from "../../../core/job/markSize.ts";
import { datumOf } from "../../../core/job/schema.ts";
import type { DraftJob } from "../../../electron/host/library/drafts.ts";
import type { StyleOf } from "../canvas/drawLines.ts";
import { drawCode, drawDatum, drawLabel, drawMark, drawPaper, drawRing, plotOf } from "../canvas/drawSheet.ts";
import type { Scene } from "../canvas/painter.ts";
import { stylesOf } from "../canvas/styles.ts";
import { useLineInks } from "../canvas/useLineInks.ts";
import type { Chosen } from "./chosen.ts";
import type { CutLines } from "./useCutLines.ts";

/** The sheet as it is being edited: cuts and creases, marks in their true shapes, codes, the datum, and what is chosen. */
export function useEditorScene(job: DraftJob, cutLines: CutLines, chosen: Chosen): { scene: Scene; styleOf: StyleOf } {
  const inks = useLineInks();
  const styles = useMemo(() => stylesOf(inks), [inks]);
  const chosenCut = chosen?.kind === "cut" ? chosen.index : -1;
  const styleOf = useCallback<StyleOf>((owner) => {
    const cut = cutLines.cuts[owner];
    return cut ? styles[cut.kind][owner === chosenCut ? "chosen" : "plain"] : null;
  }, [styles, cutLines.cuts, chosenCut]);
  const scene = useMemo<Scene>(() => ({
    height: job.sheet.height, lines: cutLines.lines, styleOf,
    under: (g, view, size) => drawPaper(g, plotOf(view, job.sheet.height), size, job.sheet, inks),
    over(g, view) {
      const plot = plotOf(view, job.sheet.height);
      for (const mark of job.marks) drawMark(g, plot, mark, inks.mark);
      for (const code of job.codes) drawCode(g, plot, code, inks.mark, inks.paper);
      drawDatum(g, plot, datumOf(job), inks.crease);
      if (chosen?.kind === "datum") drawRing(g, plot, datumOf(job), 0, inks.chosen);
      const mark = chosen?.kind === "mark" ? job.marks[chosen.index] : undefined;
      if (mark) {
        drawRing(g, plot, mark, markSize(mark), inks.chosen);
        drawLabel(g, plot, mark, mark.id, inks, 16);
      }
      const code = chosen?.kind === "code" ? job.codes[chosen.index] : undefined;
      if (code) drawRing(g, plot, code, code.size * Math.SQRT2, inks.chosen);
    },
  }), [job, cutLines.lines, styleOf, inks, chosen]);
  return { scene, styleOf };
}
