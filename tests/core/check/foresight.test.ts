import { describe, expect, it } from "vitest";
import { foreseenShare } from "../../../core/check/foresight.ts";
import { solve } from "../../../core/check/solve.ts";
import { predictView } from "../../../core/check/viewModel.ts";
import type { Job } from "../../../core/job/schema.ts";

const frame = { print: { x: 500, y: 350, half: 500 }, picture: { x: 2000, y: 1500, half: 2500 } };
const view = Float64Array.from([0.6, 0.05, 0.01, 0.04, -0.58, -0.02, 0.05, -0.03, 0, 0, 0, 0, 0, 0]);
const job = { cuts: [{ id: "blank", kind: "cut", path: "M 60 60 L 940 60 L 940 640 L 60 640 Z" }] } as unknown as Job;

/** Share of the cuts that marks at the given places foresee to 3 mm, seen to a hundredth of a pixel. */
function shareFor(places: readonly (readonly [number, number])[]): number {
  const out = new Float64Array(2);
  const marks = places.map(([x, y], mark) => {
    predictView(view, (x - 500) / 500, (y - 350) / 500, out, null, null);
    return { mark, print: { x, y }, seen: { x: 2000 + 2500 * out[0], y: 1500 + 2500 * out[1] }, covariance: { xx: 1e-4, xy: 0, yy: 1e-4 } };
  });
  const viewed = solve({ marks, cuts: [], paths: [], frame, datum: { x: 500, y: 350 }, lensKnown: false, start: view, fewestMarks: 4, flat: false });
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
});
