import { describe, expect, it } from "vitest";
import { linearLeastSquares } from "../../../core/geometry/leastSquares.ts";
import { levenbergMarquardt } from "../../../core/geometry/levenbergMarquardt.ts";
import gum from "../../reference/gum_h3_calibration_line.json" with { type: "json" };
import strd from "../../reference/strd_regression.json" with { type: "json" };

/** Log relative error: about the number of right digits, as NIST scores its reference sets. */
const digits = (got: number, certified: string) => -Math.log10(Math.abs(got - Number(certified)) / Math.abs(Number(certified)) + 1e-16);

function polynomial(x: readonly number[], degree: number): number[][] {
  return x.map((v) => Array.from({ length: degree + 1 }, (_, j) => v ** j));
}

describe("NIST StRD linear regression", () => {
  // Norris: the file seen; Pontius and Filip: second-hand, confirmed by a 60-digit fit.
  it.each([
    ["Norris", strd.Norris, 1, 12, 12],
    ["Pontius", strd.Pontius, 2, 11, 11],
    ["Filip", strd.Filip, 10, 7, 7],
  ] as const)("%s", (_, set, degree, forValues, forDeviations) => {
    const fit = linearLeastSquares(polynomial(set.x, degree), set.y);
    if (!fit.ok) throw new Error(fit.reason);
    const n = degree + 1;
    set.certified.beta.forEach((b, i) => expect(digits(fit.parameters[i], b)).toBeGreaterThan(forValues));
    set.certified.sd.forEach((s, i) => {
      expect(digits(fit.sigma0 * Math.sqrt(fit.cofactor[i * n + i]), s)).toBeGreaterThan(forDeviations);
    });
    expect(digits(fit.sigma0, set.certified.resid_sd)).toBeGreaterThan(forDeviations);
  });

  it("says so where the observations do not determine a parameter", () => {
    const twice = linearLeastSquares([[1, 2], [2, 4], [3, 6]], [1, 2, 3]);
    expect(twice).toMatchObject({ ok: false });
    expect(linearLeastSquares([[1, 2]], [1])).toMatchObject({ ok: false });
  });
});

describe("GUM H.3 calibration line (JCGM 100, second-hand)", () => {
  it("gives the printed values, correlation and prediction, linear and by Marquardt alike", () => {
    const rows = gum.t.map((t) => [1, t - 20]);
    const fit = linearLeastSquares(rows, gum.b);
    if (!fit.ok) throw new Error(fit.reason);
    const c = fit.cofactor.map((v) => v * fit.sigma0 ** 2);
    expect(fit.parameters[0].toFixed(4)).toBe(gum.printed.y1);
    expect(fit.parameters[1].toFixed(5)).toBe(gum.printed.y2);
    expect(Math.sqrt(c[0]).toFixed(4)).toBe(gum.printed.s_y1);
    expect(Math.sqrt(c[3]).toFixed(5)).toBe(gum.printed.s_y2);
    expect((c[1] / Math.sqrt(c[0] * c[3])).toFixed(3)).toBe(gum.printed.r);
    expect(fit.sigma0.toFixed(4)).toBe(gum.printed.s);
    expect((fit.parameters[0] + 10 * fit.parameters[1]).toFixed(4)).toBe(gum.printed.b_30);
    expect(Math.sqrt(c[0] + 20 * c[1] + 100 * c[3]).toFixed(4)).toBe(gum.printed.u_b_30);

    const row = new Float64Array(2);
    const same = levenbergMarquardt(new Float64Array(2), (p, add) => {
      rows.forEach((r, i) => {
        row.set(r);
        add(row, gum.b[i] - p[0] - p[1] * r[1], 1);
      });
    });
    expect(same.converged).toBe(true);
    same.parameters.forEach((p, i) => expect(digits(p, String(fit.parameters[i]))).toBeGreaterThan(10));
    same.covariance?.forEach((v, i) => expect(digits(v, String(fit.cofactor[i]))).toBeGreaterThan(10));
  });
});
