import { describe, expect, it } from "vitest";
import type { LensTerm, TargetPoint } from "../../../../core/camera/calibrate/model.ts";
import { PINHOLE, calibratePlanar } from "../../../../core/camera/calibrate/planar.ts";
import { LENS_PARAMETERS } from "../../../../core/camera/lens.ts";
import seven from "../../../reference/calib1_planar_7views.json" with { type: "json" };
import photographs from "../../../reference/opencv_calibration.json" with { type: "json" };

function solved(views: TargetPoint[][], terms: readonly LensTerm[]) {
  const found = calibratePlanar(views, 640, 480, terms);
  if (!found.ok) throw new Error(found.reason);
  return found;
}

/** 13 photographs of a 9 x 6 board, corners stored; results computed with OpenCV 4.6.0. */
describe("13 photographs against OpenCV", () => {
  const corners = photographs.corners_px as Record<string, number[][]>;
  const views = (names: readonly string[]) =>
    names.map((name) => corners[name].map(([u, v], i) => ({ x: i % 9, y: Math.floor(i / 9), u, v })));
  const all = views(photographs.views);
  const { runs } = photographs;

  it.each([
    ["default flags", all, LENS_PARAMETERS, 0.408696, runs.all_13_default_flags],
    ["no distortion", all, PINHOLE, 1.555404, runs.no_distortion],
    ["k1, k2", all, [...PINHOLE, "k1", "k2"], 0.418196, runs.all_13_no_k3_no_tangential],
    ["default flags without left02", views(photographs.views.filter((n) => n !== "left02.jpg")), LENS_PARAMETERS, 0.234101, runs.without_left02],
  ] as const)("%s: RMS to 1e-4 px, parameters within half a hundredth of their uncertainty", (_, set, terms, rms, run) => {
    const found = solved(set, terms);
    expect(Math.abs(found.rms - rms)).toBeLessThan(1e-6);
    expect(found.rms).toBeLessThan(run.rms_px + 1e-7);
    const { lens, covariance } = found;
    [run.fx, run.fy, run.cx, run.cy].forEach((v, i) => {
      expect(Math.abs(lens[LENS_PARAMETERS[i]] - v)).toBeLessThan(5e-3 * Math.sqrt(covariance[i][i]));
    });
    run.dist_k1_k2_p1_p2_k3.forEach((v, i) => expect(Math.abs(lens[LENS_PARAMETERS[4 + i]] - v)).toBeLessThan(2e-3));
    // OpenCV divides the sum of squares by points - parameters; there are twice as many coordinates as points.
    const { rows, parameters } = found;
    const divisor = Math.sqrt((rows - parameters) / (rows / 2 - parameters));
    run.sd_fx_fy_cx_cy.forEach((v, i) => expect(Number(v) / (divisor * Math.sqrt(covariance[i][i]))).toBeCloseTo(1, 3));
  });
});

/** 7 views, published results (seen in full): the uncertainties quoted there equal OpenCV's deviations. */
describe("published planar calibration, 7 views", () => {
  const views = seven.image_points.map((points) => points.map(([u, v], i) => ({ x: 2.54 * (i % 7), y: 2.54 * Math.floor(i / 7), u, v })));
  it("agrees within the quoted uncertainties, and with the rerun to optimiser level", () => {
    const found = solved(views, LENS_PARAMETERS.filter((t) => t !== "k3"));
    const { published, opencv_rerun: rerun } = seven;
    const names = ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2"] as const;
    names.forEach((name, i) => {
      expect(Math.abs(found.lens[name] - Number(published[name]))).toBeLessThan(0.01 * Number(published.uncertainty_fc_cc_kc[i]));
    });
    expect(Math.abs(found.rms - rerun.rms)).toBeLessThan(1e-6);
    [rerun.fx, rerun.fy, rerun.cx, rerun.cy].forEach((v, i) => expect(Math.abs(found.lens[LENS_PARAMETERS[i]] - v)).toBeLessThan(2e-3));
    const points = found.residuals.flatMap((r) => [...r]);
    [0, 1].forEach((axis) => {
      const own = points.filter((_, i) => i % 2 === axis);
      expect(Math.sqrt(own.reduce((s, v) => s + v * v, 0) / own.length)).toBeCloseTo(rerun.residual_rms_xy[axis], 5);
    });
    const divisor = Math.sqrt((found.rows - found.parameters) / (found.rows / 2 - found.parameters));
    published.uncertainty_fc_cc_kc.forEach((v, i) => expect(Number(v) / (divisor * Math.sqrt(found.covariance[i][i]))).toBeCloseTo(1, 3));
  });
});
