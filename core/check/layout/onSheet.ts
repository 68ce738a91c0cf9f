import type { Picture } from "../../image/picture.ts";
import type { Job } from "../../job/schema.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { printedCorners, sheetCorners } from "../../marks/sheetCorners.ts";

/** A sheet's corners lie where a view has them to this share of its shorter side: what an unknown lens and trimming leave (common practice, no source). */
const NEAR = 0.03;

/** Whether a view puts all four corners of the job's sheet where the picture shows those of a sheet: marks of another job's, or patches that look like them, hardly have it so. */
export function liesOnSheet(picture: Picture, { sheet }: Pick<Job, "sheet">, view: PlaneMap): boolean {
  const shown = sheetCorners(picture);
  const expected = printedCorners(sheet).map(view.toPicture);
  const sides = expected.map((p, i) => {
    const next = expected[(i + 1) % 4];
    return p && next ? Math.hypot(next.x - p.x, next.y - p.y) : 0;
  });
  return shown !== null && expected.every((p) => p !== null && shown.some((q) => Math.hypot(q.x - p.x, q.y - p.y) < NEAR * Math.min(...sides)));
}
