import { describe, expect, it } from "vitest";
import type { Lens } from "../../../../core/camera/lens.ts";
import type { ProfileMatch } from "../../../../core/camera/match.ts";
import type { Scanner } from "../../../../core/camera/scanner.ts";
import { project } from "../../../../core/camera/view.ts";
import { knownLens } from "../../../../core/check/view/knownLens.ts";
import { boardNuisance, correctedLens, profileNuisance, shiftsAt } from "../../../../core/check/view/nuisance.ts";
import { eyeOf } from "../../../../core/witness/eye.ts";
import { viewOf } from "../../../support/targetPicture.ts";

const [WIDTH, HEIGHT] = [4000, 3000];
const lens: Lens = { fx: 3900, fy: 3910, cx: 2010, cy: 1480, k1: -0.18, k2: 0.05, p1: 2e-4, p2: -3e-4, k3: 0 };
const PLACES = [[200, 150], [3800, 300], [2100, 1500], [700, 2800]].map(([x, y]) => ({ x, y }));
const none = (n: number): number[][] => Array.from({ length: n }, () => new Array<number>(n).fill(0));

/** A covariance in which terms i and j are known to si and sj, with correlation r. */
function pair(n: number, i: number, si: number, j: number, sj: number, r: number): number[][] {
  const c = none(n);
  c[i][i] = si * si;
  c[j][j] = sj * sj;
  c[i][j] = r * si * sj;
  c[j][i] = c[i][j];
  return c;
}

describe("what displaces a picture and is not quite known", () => {
  it("of a lens: the fields' spread is that of points seen through lenses drawn from the covariance", () => {
    const covariance = pair(9, 4, 0.002, 5, 0.004, -0.8);
    const match: ProfileMatch = { kind: "camera", lens, covariance, warnings: [] };
    const [nuisance] = profileNuisance(match, WIDTH, HEIGHT);
    expect(nuisance).toMatchObject({ source: "lens profile", count: 2 });
    const known = knownLens(match);
    // The factor of the 2 x 2 covariance, term by term: what each of the two independent draws does, by looking through the lens that it gives.
    const draws = [{ k1: 0.002, k2: -0.8 * 0.004 }, { k1: 0, k2: 0.6 * 0.004 }];
    for (const q of PLACES) {
      const seen = draws.map((d) => {
        const other = knownLens({ ...match, lens: { ...lens, k1: lens.k1 + d.k1, k2: lens.k2 + d.k2 } });
        const p = other && known?.undistort(other.distort(q));
        return { x: (p?.x ?? NaN) - q.x, y: (p?.y ?? NaN) - q.y };
      });
      const shifts = shiftsAt([nuisance], q);
      for (const [a, b] of [["x", "x"], ["x", "y"], ["y", "y"]] as const) {
        const want = seen.reduce((s, d) => s + d[a] * d[b], 0);
        const got = [0, 1].reduce((s, k) => s + shifts[2 * k + (a === "x" ? 0 : 1)] * shifts[2 * k + (b === "x" ? 0 : 1)], 0);
        expect(got).toBeCloseTo(want, 1);
        if (Math.abs(want) > 1) expect(got / want).toBeCloseTo(1, 1);
      }
    }
  });
  it("of a scanner the same, and nothing where the profile leaves nothing open", () => {
    const scanner: Scanner = { width: 3508, height: 2480, pxPerMm: { x: 11.82, y: 11.8 }, squareness: 0.3, bow: { x: 0.8, y: -0.5 }, run: { x: 1, y: 0.3 } };
    const match: ProfileMatch = { kind: "scanner", scanner, covariance: pair(7, 3, 0.2, 6, 0.1, 0), warnings: [] };
    const [nuisance] = profileNuisance(match, scanner.width, scanner.height);
    expect(nuisance.count).toBe(2);
    // bow.x moves the end of the longer side's middle not at all, and points half a height away by bow b^2.
    const shifts = shiftsAt([nuisance], { x: (scanner.width - 1) / 2, y: 0 });
    const b = ((scanner.height - 1) / 2 / (scanner.width / 2)) ** 2;
    expect(Math.hypot(shifts[0], shifts[2])).toBeCloseTo(0.2 * b, 3);
    expect(profileNuisance({ ...match, covariance: none(7) }, scanner.width, scanner.height)).toEqual([]);
    expect(profileNuisance(null, WIDTH, HEIGHT)).toEqual([]);
  });
  it("of a board: what stands above the sheet's plane is seen where the field says", () => {
    const flat: Lens = { ...lens, k1: 0, k2: 0, p1: 0, p2: 0 };
    const sheet = { width: 1000, height: 700, thickness: 1.5, material: "board" };
    const tilt: readonly [number, number] = [0.25, -0.15];
    const view = viewOf(flat, { x: 500, y: 350 }, tilt, 0.1, 1300, [40, -30]);
    const eye = eyeOf(view.homography.m, flat.fx, { x: flat.cx, y: flat.cy });
    if (!eye) throw new Error("no eye");
    const nuisance = boardNuisance(sheet, view, eye, 0.5);
    for (const [x, y] of [[20, 30], [980, 650], [500, 350], [60, 640], [900, 350]]) {
      // The point z above (x, y) lies on the line from the eye through the plane's point (x', y').
      const [X, Y] = [(2 * x) / 1000 - 1, (2 * y) / 700 - 1];
      [X * X, Y * Y, X * Y].forEach((rise, k) => {
        const z = 0.5 * rise;
        const away = z / (eye.z - z);
        const seen = project(view, x + (x - eye.x) * away, y + (y - eye.y) * away);
        const plain = project(view, x, y);
        const shifts = shiftsAt([nuisance], plain);
        expect(shifts[2 * k]).toBeCloseTo(seen.x - plain.x, 1.5);
        expect(shifts[2 * k + 1]).toBeCloseTo(seen.y - plain.y, 1.5);
      });
    }
  });
  it("is taken out of what is seen by the factors found, both ways", () => {
    const match: ProfileMatch = { kind: "camera", lens, covariance: pair(9, 4, 0.002, 5, 0.004, -0.8), warnings: [] };
    const nuisances = profileNuisance(match, WIDTH, HEIGHT);
    const factors = Float64Array.from([1.3, -0.7]);
    const corrected = correctedLens(knownLens(match), nuisances, factors);
    for (const q of PLACES) {
      const p = corrected?.undistort(q);
      const back = p && corrected?.distort(p);
      expect(back?.x).toBeCloseTo(q.x, 3);
      expect(back?.y).toBeCloseTo(q.y, 3);
    }
    expect(correctedLens(null, [], new Float64Array(0))).toBeNull();
  });
});
