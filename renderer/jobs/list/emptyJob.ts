import type { DraftJob } from "../../../electron/host/library/drafts.ts";

/** A sheet of the common 700 x 1000 mm with four marks near its corners, one of them of another size so that a half turn can be told. */
export function emptyJob(name: string): DraftJob {
  return {
    format: "kerfmark.job/1", id: "JOB-1", name, sheet: { width: 1000, height: 700 }, cutFrom: "print", flip: "x",
    marks: [
      { id: "M1", shape: "dot", x: 20, y: 20, diameter: 6 }, { id: "M2", shape: "dot", x: 980, y: 20, diameter: 6 },
      { id: "M3", shape: "dot", x: 980, y: 680, diameter: 6 }, { id: "M4", shape: "ring", x: 20, y: 680, outer: 8, inner: 5 },
    ],
    codes: [], state: "in-sheet", tolerance: { position: 0.5 },
    cuts: [{ id: "cut 1", kind: "cut", path: "M 100 100 L 900 100 L 900 600 L 100 600 Z" }],
  };
}
