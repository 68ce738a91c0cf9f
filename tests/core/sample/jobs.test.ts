import { expect, test } from "vitest";
import { extent, shapeOfMark } from "../../../core/sample/ink.ts";
import { jobSchema } from "../../../core/job/schema.ts";
import { pathFields } from "../../../core/sample/pathField.ts";
import { makeJob } from "../../../core/sample/jobs.ts";
import { randomOf } from "../../../core/sample/random.ts";

const SHEETS = [[320, 450], [600, 400], [1000, 700]] as const;

test("made-up jobs are valid job files with marks clear of the cuts, on the piece where only that is left", () => {
  for (let seed = 0; seed < 16; seed++) {
    const state = seed % 2 === 0 ? "stripped" : "in-sheet";
    const job = makeJob({ state, sheets: SHEETS, marks: [4, 16], qr: seed % 3 === 0 }, randomOf(seed));
    expect(jobSchema.safeParse(job).error).toBeUndefined();
    const fields = job.cuts.filter((c) => c.kind === "cut").flatMap((c) => pathFields(c));
    for (const mark of job.marks) {
      const r = extent(shapeOfMark(mark));
      for (const field of fields) {
        const d = field.distance(mark.x, mark.y);
        if (state === "stripped" && field.id === "panel") expect(d, `${mark.id} of seed ${seed}`).toBeGreaterThan(r);
        else expect(Math.abs(d), `${mark.id} of seed ${seed} at ${field.id}`).toBeGreaterThan(r);
      }
    }
  }
});
