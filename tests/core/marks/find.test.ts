import { describe, expect, it } from "vitest";
import { jobSchema, type Job } from "../../../core/job/schema.ts";
import { scaleRange } from "../../../core/marks/find.ts";

/** A sheet of 500 x 400 mm whose marks span `across` x 60 mm, and a piece of 300 x 200 mm. */
function jobOf(across: number, state: "in-sheet" | "stripped"): Job {
  const marks = [[100, 100], [100 + across, 100], [100 + across, 160], [100, 160]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
  return jobSchema.parse({ format: "kerfmark.job/1", id: "T", name: "T", sheet: { width: 500, height: 400 }, cutFrom: "print", flip: "x", marks, cuts: [{ id: "blank", kind: "cut", path: "M 80 60 L 380 60 L 380 260 L 80 260 Z" }], state, tolerance: { position: 0.5 } });
}

const picture = { width: 4000, height: 3000 };

describe("the scales at which a job may appear", () => {
  it("go by how far its marks reach", () => {
    for (const state of ["in-sheet", "stripped"] as const) expect(scaleRange(jobOf(250, state), picture).likely).toBeCloseTo((0.75 * 4000) / 250, 9);
  });

  it("go by the piece that is left where its marks reach over a small part of it", () => {
    const { least, likely } = scaleRange(jobOf(70, "stripped"), picture);
    // From where the piece fills a quarter of the picture on.
    expect(least).toBeLessThan((0.25 * 4000) / 300);
    expect(likely).toBeGreaterThan((0.75 * 4000) / 300);
    expect(likely).toBeLessThan(4000 / 200);
    expect(scaleRange(jobOf(70, "in-sheet"), picture).likely).toBeCloseTo((0.75 * 4000) / 70, 9);
  });
});
