import { describe, expect, it } from "vitest";
import { cutRow, displacement } from "../../../../core/check/fit/cutMap.ts";
import { alikeBiases, type JointData } from "../../../../core/check/fit/equations.ts";
import { fitJointly } from "../../../../core/check/fit/joint.ts";
import { predictView, TERM_COUNT, VIEW_TERMS } from "../../../../core/check/view/viewModel.ts";
import { gaussian } from "../../../support/gaussian.ts";

const frame = { print: { x: 500, y: 350, half: 500 }, picture: { x: 2000, y: 1500, half: 2500 } };
const truth = Float64Array.from([0.6, 0.05, 0.01, 0.04, -0.58, -0.02, 0.08, -0.05, -0.06, 0, 0, 0, 0, 0]);
const cutTruth = Float64Array.from([0.2, -0.1, 0.15, 0.05, -0.1, 0.08]);
const datum = { x: 500, y: 350 };
const SIGMA_MARK = 0.05;
const SIGMA_CUT = 0.02;

function see(p: { x: number; y: number }): { x: number; y: number } {
  const out = new Float64Array(2);
  predictView(truth, (p.x - 500) / 500, (p.y - 350) / 500, out, null, null);
  return { x: 2000 + 2500 * out[0], y: 1500 + 2500 * out[1] };
}

/** Ten marks and the four sides of six blanks, seen with noise. */
function dataOf(noise: () => number): JointData {
  const places = [[20, 20], [980, 25], [978, 680], [20, 672], [500, 18], [470, 682], [16, 385], [984, 294], [250, 20], [720, 680]];
  const marks = places.map(([x, y], mark) => {
    const q = see({ x, y });
    return { mark, print: { x, y }, seen: { x: q.x + SIGMA_MARK * noise(), y: q.y + SIGMA_MARK * noise() }, covariance: { xx: SIGMA_MARK ** 2, xy: 0, yy: SIGMA_MARK ** 2 } };
  });
  const cuts: JointData["cuts"][number][] = [];
  for (const x0 of [60, 370, 680]) {
    for (const y0 of [60, 370]) {
      for (let k = 0.5; k < 10; k++) {
        const sides = [[x0 + 26 * k, y0, 0, -1], [x0 + 26 * k, y0 + 270, 0, 1], [x0, y0 + 27 * k, -1, 0], [x0 + 260, y0 + 27 * k, 1, 0]];
        for (const [x, y, nx, ny] of sides) {
          const d = displacement(cutTruth, datum, 500, { x, y });
          const t = nx * d.x + ny * d.y + SIGMA_CUT * noise();
          cuts.push({ print: { x, y }, nx, ny, tx: -ny, ty: nx, curvature: 0, seen: see({ x: x + t * nx, y: y + t * ny }), sigma: SIGMA_CUT });
        }
      }
    }
  }
  return { marks, cuts, frame, datum, markScale: 1, cutScale: 1, cutWeights: new Float64Array(cuts.length).fill(1) };
}

describe("the joint fit of view, lens and cut", () => {
  it("has the derivatives of its view by terms and by the point (central differences)", () => {
    const t = Float64Array.from([0.6, 0.05, 0.01, 0.04, -0.58, -0.02, 0.08, -0.05, -0.06, 0.01, 0.004, -0.003, 0.0003, -0.0004]);
    const J = new Float64Array(2 * TERM_COUNT);
    const B = new Float64Array(4);
    const a = new Float64Array(2);
    const b = new Float64Array(2);
    predictView(t, 0.7, -0.4, a, J, B);
    VIEW_TERMS.forEach((_, i) => {
      const [up, down] = [t.slice(), t.slice()];
      up[i] += 1e-6;
      down[i] -= 1e-6;
      predictView(up, 0.7, -0.4, a, null, null);
      predictView(down, 0.7, -0.4, b, null, null);
      expect((a[0] - b[0]) / 2e-6).toBeCloseTo(J[i], 6);
      expect((a[1] - b[1]) / 2e-6).toBeCloseTo(J[TERM_COUNT + i], 6);
    });
    predictView(t, 0.7 + 1e-6, -0.4, a, null, null);
    predictView(t, 0.7 - 1e-6, -0.4, b, null, null);
    expect((a[0] - b[0]) / 2e-6).toBeCloseTo(B[0], 6);
    expect((a[1] - b[1]) / 2e-6).toBeCloseTo(B[2], 6);
  });

  it("recovers exact data, lens included", () => {
    const start = truth.slice();
    start[8] = 0;
    start[6] = 0;
    const fit = fitJointly(dataOf(() => 0), { view: "radial", cut: "affine" }, start, new Float64Array(6));
    if (!fit) throw new Error("no fit");
    for (let i = 0; i < 6; i++) expect(fit.cut[i]).toBeCloseTo(cutTruth[i], 3);
    expect(fit.view[8]).toBeCloseTo(truth[8], 4);
  });

  it("states a covariance that repeated noise bears out; half the stated spread does not (negative control)", () => {
    const noise = gaussian(11);
    let inside = 0;
    let insideHalf = 0;
    const runs = 120;
    for (let k = 0; k < runs; k++) {
      const fit = fitJointly(dataOf(noise), { view: "radial", cut: "affine" }, truth, cutTruth);
      if (!fit) throw new Error("no fit");
      for (let i = 0; i < 6; i++) {
        const at = fit.free.length + i;
        const z = Math.abs(fit.cut[i] - cutTruth[i]) / Math.sqrt(fit.covariance[at * fit.size + at]);
        if (z < 1.96) inside++;
        if (z < 0.98) insideHalf++;
      }
    }
    // 720 correlated draws: 95 % within three standard deviations of a binomial of 120 independent runs of six.
    const share = inside / (6 * runs);
    expect(share).toBeGreaterThan(0.92);
    expect(share).toBeLessThan(0.98);
    expect(insideHalf / (6 * runs)).toBeLessThan(0.8);
  });

  it("says how many degrees of freedom the marks' residuals have left: their sum of squares in the mean; cuts take up part of the view, so that more are left than marks less terms", () => {
    const noise = gaussian(12);
    const runs = 150;
    let squares = 0;
    let freedom = 0;
    for (let k = 0; k < runs; k++) {
      const fit = fitJointly(dataOf(noise), { view: "radial", cut: "affine" }, truth, cutTruth);
      if (!fit) throw new Error("no fit");
      squares += fit.markResiduals.reduce((s, r) => s + r * r, 0) / runs;
      freedom += fit.markFreedom / runs;
      if (k === 0) expect(fit.markFreedom).toBeGreaterThan(fit.markResiduals.length - fit.free.length + 1);
    }
    // The mean of so many sums of squares scatters by sqrt(2 freedom / runs), here 0.45.
    expect(Math.abs(squares - freedom)).toBeLessThan(3 * Math.sqrt((2 * freedom) / runs));
  });

  it("does not take a hole that is found too small for what its piece's outline is found off", () => {
    /** A stripped piece with a hole whose edge is found 0.03 mm inside of it, as its walls' shade makes it; the outline is found in place. By how many u its size is off. */
    const sizeOff = (hole: "hole" | "step"): number => {
      const { marks, frame: f, datum: d, ...rest } = dataOf(() => 0);
      const side = (x: number, y: number, nx: number, ny: number, found: number, about: { edge: "hole" | "step"; away: 1 | -1 }): JointData["cuts"][number] => {
        const moved = displacement(cutTruth, datum, 500, { x, y });
        const t = nx * moved.x + ny * moved.y + found;
        return { print: { x, y }, nx, ny, tx: -ny, ty: nx, curvature: 0, seen: see({ x: x + t * nx, y: y + t * ny }), sigma: 0.003, ...about };
      };
      const ring = (size: number, every: number, found: number, about: { edge: "hole" | "step"; away: 1 | -1 }) =>
        Array.from({ length: Math.floor(size / every) }, (_, k) => 500 - size / 2 + (k + 0.5) * every).flatMap((v) => [
          side(v, 350 - size / 2, 0, -1, found, about), side(v, 350 + size / 2, 0, 1, found, about), side(500 - size / 2, v - 150, -1, 0, found, about), side(500 + size / 2, v - 150, 1, 0, found, about),
        ]);
      const cuts = [...ring(260, 5, 0, { edge: "step", away: 1 }), ...ring(10, 5, -0.03, { edge: hole, away: -1 })];
      const fit = fitJointly({ ...rest, marks, cuts, frame: f, datum: d, cutWeights: new Float64Array(cuts.length).fill(1), edgePriors: alikeBiases(0.015) }, { view: "radial", cut: "affine" }, truth, cutTruth);
      if (!fit) throw new Error("no fit");
      const at = fit.free.length + 3;
      return Math.abs(fit.cut[3] - cutTruth[3]) / Math.sqrt(fit.covariance[at * (fit.size + 1)]);
    };
    expect(sizeOff("hole")).toBeLessThan(2);
    expect(sizeOff("step")).toBeGreaterThan(3);
  });

  it("does not take for a turn what lips draw the slits aside on the darker half of a sheet; without their tones it does (negative control)", () => {
    const data = dataOf(() => 0);
    const LIP = 0.08;
    // Lit from above: a slit lies off downwards, the more the darker its ground is. Print is dark on the right, and uneven everywhere.
    const toneAt = ({ x }: { x: number }, k: number): number => (x > 500 ? 0.4 : -0.4) + 0.3 * Math.sin(1.7 * k);
    const cuts = data.cuts.map((c, k) => {
      const tone = toneAt(c.print, k);
      const here = see(c.print);
      const moved = see({ x: c.print.x, y: c.print.y - LIP * tone * Math.abs(c.ny) });
      return { ...c, tone, seen: { x: c.seen.x + moved.x - here.x, y: c.seen.y + moved.y - here.y } };
    });
    const turnOff = (of: JointData["cuts"]): number => {
      const fit = fitJointly({ ...data, cuts: of, edgePriors: alikeBiases(0.05) }, { view: "radial", cut: "affine" }, truth, cutTruth);
      if (!fit) throw new Error("no fit");
      const at = fit.free.length + 2;
      return Math.abs(fit.cut[2] - cutTruth[2]) / Math.sqrt(fit.covariance[at * (fit.size + 1)]);
    };
    expect(turnOff(cuts)).toBeLessThan(0.5);
    expect(turnOff(cuts.map(({ tone: _tone, ...c }) => c))).toBeGreaterThan(3);
  });

  it("does not take for a turn what lips draw slits aside that are brighter than the print of half of a sheet; taken for dark ones it does (negative control)", () => {
    const data = dataOf(() => 0);
    const cuts = data.cuts.map((c) => {
      if (c.print.x < 500) return c;
      const here = see(c.print);
      const moved = see({ x: c.print.x, y: c.print.y - 0.15 * Math.abs(c.ny) });
      return { ...c, bright: true, seen: { x: c.seen.x + moved.x - here.x, y: c.seen.y + moved.y - here.y } };
    });
    const turnOff = (of: JointData["cuts"]): number => {
      const fit = fitJointly({ ...data, cuts: of, edgePriors: { ...alikeBiases(0.01), bright: 0.08, brightX: 0.08, brightY: 0.08 } }, { view: "radial", cut: "affine" }, truth, cutTruth);
      if (!fit) throw new Error("no fit");
      return Math.abs(fit.cut[2] - cutTruth[2]) / Math.sqrt(fit.covariance[(fit.free.length + 2) * (fit.size + 1)]);
    };
    expect(turnOff(cuts)).toBeLessThan(1);
    expect(turnOff(cuts.map(({ bright: _bright, ...c }) => c))).toBeGreaterThan(3);
  });

  it("reads the contract's terms: a pure turn moves a point on the x axis up, a growth along x outwards", () => {
    const out = new Float64Array(8);
    cutRow(1, 0, 0, 1, 6, out, 0);
    expect(out[2]).toBe(1);
    cutRow(1, 0, 1, 0, 6, out, 0);
    expect([out[3], out[4]]).toEqual([1, 1]);
  });
});
