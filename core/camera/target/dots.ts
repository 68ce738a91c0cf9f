import type { Job, Mark } from "../../job/schema.ts";
import { type DotTarget, printedScale } from "./target.ts";

/** The dots and rings as marks, row by row; true positions by the measured rules where they are given. */
export function marksOf(target: DotTarget): Mark[] {
  const { columns, rows, pitch, diameter, rings } = target;
  const by = printedScale(target);
  const isRing = new Set(rings.map(([c, r]) => r * columns + c));
  return Array.from({ length: columns * rows }, (_, i): Mark => {
    const place = { id: String(i), x: (i % columns) * pitch * by.x, y: Math.floor(i / columns) * pitch * by.y, tone: "dark" as const };
    return isRing.has(i) ? { ...place, shape: "ring", outer: diameter, inner: diameter / 2 } : { ...place, shape: "dot", diameter };
  });
}

/** The target seen as a job, for the code that finds marks: one dot and one ring say what to look for, the outer dots how far it reaches. */
export function searchJob(target: DotTarget, marks: readonly Mark[]): Job {
  const last = marks.length - 1;
  const ring = target.rings[0][1] * target.columns + target.rings[0][0];
  const width = marks[last].x + target.pitch;
  const height = marks[last].y + target.pitch;
  return {
    format: "kerfmark.job/1", id: target.id, name: target.id, sheet: { width, height }, cutFrom: "print", flip: "x",
    marks: [marks[0], marks[last], marks[ring]], codes: [], cuts: [{ id: "edge", kind: "cut", path: `M 0 0 H ${width}` }],
    state: "in-sheet", tolerance: { position: 1 },
  };
}
