import { describe, expect, it } from "vitest";
import { calibrateCamera } from "../../../../core/camera/calibrate/camera.ts";
import { calibrateScanner } from "../../../../core/camera/calibrate/scanner.ts";
import type { TargetPicture } from "../../../../core/camera/calibrate/camera.ts";
import type { Lens } from "../../../../core/camera/lens.ts";
import { unstraighten } from "../../../../core/camera/scanner.ts";
import type { Scanner } from "../../../../core/camera/scanner.ts";
import { findDots } from "../../../../core/camera/target/findDots.ts";
import { marksOf } from "../../../../core/camera/target/dots.ts";
import { readTarget } from "../../../../core/camera/target/target.ts";
import type { DotTarget } from "../../../../core/camera/target/target.ts";
import { project } from "../../../../core/camera/view.ts";
import { gaussian } from "../../../support/gaussian.ts";
import { drawMarks, viewOf } from "../../../support/targetPicture.ts";

const target: DotTarget = {
  format: "kerfmark.target/1", id: "dots", kind: "dots", columns: 17, rows: 10, pitch: 15, diameter: 6, rings: [[5, 3], [11, 3], [6, 7], [9, 6]],
};
const marks = marksOf(target);
const lens: Lens = { fx: 1300, fy: 1300, cx: 805, cy: 595, k1: -0.2, k2: 0.08, p1: 0, p2: 0, k3: 0 };
const middle = { x: 120, y: 67.5 };
const given = { name: "camera", date: "2026-11-25", target: "dots" };
const VIEWS: readonly (readonly [number, number, number, number, number, number])[] = [
  [0, 0, 0, 210, 0, 0], [0.5, 0, 0.1, 240, 10, 5], [-0.5, 0, 3.1, 240, -10, 0], [0, 0.5, 1.6, 230, 0, 10], [0, -0.5, -1.6, 230, 0, -10],
  [0.3, 0.3, 0.8, 220, -25, -15], [-0.3, 0.3, 0, 220, 25, 15], [0.3, -0.3, 0, 220, -25, 15],
];

describe("dot grid target", () => {
  const views = VIEWS.map(([a, b, turn, distance, x, y]) => viewOf(lens, middle, [a, b], turn, distance, [x, y]));
  const pictures = views.map((view, i) => drawMarks(marks, view, 1600, 1200, { seed: i + 1 }));
  const found = pictures.map((picture) => findDots(picture, target));

  it("is found in any turn and tilt, its dots to a few hundredths of a pixel", () => {
    found.forEach((f, i) => {
      if (!f.ok) throw new Error(`view ${i}: ${f.reason}`);
      const errors = f.points.map((p) => {
        const q = project(views[i], p.x, p.y);
        return Math.hypot(p.u - q.x, p.v - q.y);
      });
      expect(f.points.length).toBeGreaterThan(80);
      expect(Math.sqrt(errors.reduce((s, e) => s + e * e, 0) / errors.length)).toBeLessThan(0.03);
    });
  });
  it("gives the lens that drew the pictures", () => {
    const set: TargetPicture[] = found.flatMap((f, i) => (f.ok ? [{ name: `view-${i}`, width: 1600, height: 1200, points: f.points }] : []));
    const result = calibrateCamera(set, given);
    if (!result.ok) throw new Error(result.reason);
    const { profile } = result;
    expect(profile.rms).toBeLessThan(0.06);
    expect(Math.abs(profile.lens.fx - 1300)).toBeLessThan(2);
    expect(Math.abs(profile.lens.k1 + 0.2)).toBeLessThan(0.01);
  });
  it("is not found where there is none, nor in a mirror", () => {
    expect(findDots(drawMarks([], views[0], 1600, 1200), target)).toMatchObject({ ok: false });
    const { data, width, height } = pictures[0];
    const mirrored = data.map((_, i) => data[i - (i % width) + (width - 1 - (i % width))]);
    expect(findDots({ ...pictures[0], data: mirrored, width, height }, target)).toMatchObject({ ok: false });
  });
  it("names what is wrong with a target file", () => {
    const read = readTarget(JSON.stringify({ ...target, pitch: -1, colour: "red" }));
    expect(read).toMatchObject({ ok: false, errors: expect.arrayContaining([expect.stringContaining("pitch"), expect.stringContaining("colour")]) });
  });
});

describe("scanner profiles", () => {
  const truth: Scanner = { width: 3508, height: 2480, pxPerMm: { x: 11.823, y: 11.797 }, squareness: 0.4, bow: { x: 0.8, y: -0.5 }, run: { x: 1.1, y: 0.3 } };
  /** Dots on the glass: the target itself is 0.7 mm/m out in height and 0.5 mm/m out of square. */
  function scan(turn: number, seed: number): TargetPicture {
    const random = gaussian(seed);
    const ideal = Math.sqrt(truth.pxPerMm.x * truth.pxPerMm.y);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const points = marks.map(({ x, y }) => {
      const [px, py] = [x - 120 + 0.0005 * (y - 67.5), -(y - 67.5) * 1.0007];
      const glass = { x: c * px - s * py + 3, y: s * px + c * py - 2 };
      const q = unstraighten(truth, { x: (truth.width - 1) / 2 + ideal * glass.x, y: (truth.height - 1) / 2 + ideal * glass.y });
      return { x, y, u: q.x + 0.02 * random(), v: q.y + 0.02 * random() };
    });
    return { name: `scan-${seed}.tif`, width: truth.width, height: truth.height, points };
  }

  it("tell the unit's terms from the target's own by a quarter turn", () => {
    const result = calibrateScanner([scan(0.01, 1), scan(Math.PI / 2 - 0.02, 2)], given, true);
    if (!result.ok) throw new Error(result.reason);
    const { pxPerMm, squareness, bow, run, covariance, verdict } = result.profile;
    const got = [pxPerMm.x, pxPerMm.y, squareness, bow.x, bow.y, run.x, run.y];
    const want = [truth.pxPerMm.x, truth.pxPerMm.y, truth.squareness, truth.bow.x, truth.bow.y, truth.run.x, truth.run.y];
    got.forEach((v, i) => expect(Math.abs(v - want[i])).toBeLessThan(5 * Math.sqrt(covariance[i][i])));
    expect(Math.sqrt(covariance[0][0])).toBeLessThan(1e-3);
    expect(verdict.grade).toBe("good");
  });
  it("say what one direction cannot tell", () => {
    const result = calibrateScanner([scan(0, 1)], given, false);
    if (!result.ok) throw new Error(result.reason);
    expect(result.profile.verdict.findings.map((f) => f.code)).toEqual(["one-direction", "not-measured"]);
    // The target's own error is taken for the scanner's: the negative control of the test before.
    expect(Math.abs(result.profile.pxPerMm.y - truth.pxPerMm.y)).toBeGreaterThan(3e-3);
  });
});
