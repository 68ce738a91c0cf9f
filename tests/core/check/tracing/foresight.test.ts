import { describe, expect, it } from "vitest";
import { foreseenShare } from "../../../../core/check/tracing/foresight.ts";
import { solve } from "../../../../core/check/fit/solve.ts";
import { predictView } from "../../../../core/check/view/viewModel.ts";
import type { Job } from "../../../../core/job/schema.ts";

const frame = { print: { x: 500, y: 350, half: 500 }, picture: { x: 2000, y: 1500, half: 2500 } };
const askew = Float64Array.from([0.6, 0.05, 0.01, 0.04, -0.58, -0.02, 0.05, -0.03, 0, 0, 0, 0, 0, 0]);
const job = { cuts: [{ id: "blank", kind: "cut", path: "M 60 60 L 940 60 L 940 640 L 60 640 Z" }] } as unknown as Job;

/** Share of the cuts that marks at the given places foresee to 3 mm, seen to a hundredth of a pixel; `flat`: the rough view was a flat scan's. */
function shareFor(places: readonly (readonly [number, number])[], view = askew, flat = false): number {
  const out = new Float64Array(2);
  const marks = places.map(([x, y], mark) => {
    predictView(view, (x - 500) / 500, (y - 350) / 500, out, null, null);
    return { mark, print: { x, y }, seen: { x: 2000 + 2500 * out[0], y: 1500 + 2500 * out[1] }, covariance: { xx: 1e-4, xy: 0, yy: 1e-4 } };
  });
  const viewed = solve({ marks, cuts: [], paths: [], frame, datum: { x: 500, y: 350 }, lensKnown: false, start: view, fewestMarks: 4, flat });
  if (!viewed) throw new Error("no view");
  return foreseenShare(viewed, job, 3);
}

describe("whether the marks tell where the cuts are", () => {
  it("they do where they stand all round the sheet", () => {
    expect(shareFor([[20, 20], [980, 20], [980, 680], [20, 680], [500, 20], [500, 680], [20, 350], [980, 350]])).toBe(1);
  });

  it("four close together do not, however sharp they are: by tilt and lens alone the far cuts may lie off by centimetres", () => {
    expect(shareFor([[220, 330], [240, 250], [270, 140], [120, 300]])).toBeLessThan(0.4);
  });

  it("four in the corners do in a flat scan, which has no lens, and do not where they show a perspective after all", () => {
    const corners = [[20, 20], [980, 20], [980, 680], [20, 680]] as const;
    const scanned = Float64Array.from([0.6, 0.05, 0.01, 0.05, -0.6, -0.02, 0, 0, 0, 0, 0, 0, 0, 0]);
    expect(shareFor(corners, scanned, true)).toBe(1);
    expect(shareFor(corners, scanned, false)).toBeLessThan(0.4);
    expect(shareFor(corners, Float64Array.from(scanned, (v, i) => (i === 6 ? 0.004 : v)), true)).toBeLessThan(0.4);
  });
});
