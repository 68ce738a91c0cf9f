import { describe, expect, it } from "vitest";
import {
  betaQuantile, chiSquareQuantile, fCdf, fQuantile, normalCdf, normalDensity, normalQuantile, tCdf, tQuantile,
} from "../../../core/statistics/distributions.ts";
import { integrate } from "../../../core/statistics/quadrature.ts";
import jcgm from "../../reference/jcgm106_conformity.json" with { type: "json" };
import boiler from "../../reference/qcc_boiler_T2.json" with { type: "json" };
import ryan from "../../reference/qcc_ryan_T2.json" with { type: "json" };
import table from "../../reference/t_quantiles.json" with { type: "json" };

const relative = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe("distributions", () => {
  it("gives t quantiles to 1e-12 (t_quantiles.json, computed by mpmath to 30 digits)", () => {
    let worst = 0;
    for (const [dof, row] of Object.entries(table.quantiles)) {
      for (const [p, expected] of Object.entries(row)) worst = Math.max(worst, relative(tQuantile(Number(p), Number(dof)), Number(expected)));
    }
    expect(worst).toBeLessThan(1e-12);
    expect(tQuantile(0.975, 34)).toBeCloseTo(2.03224450931772, 12);
  });

  it("gives the z values of JCGM 106 table 1 (computed)", () => {
    for (const [p, z] of Object.entries(jcgm.table1_z.computed)) expect(normalQuantile(Number(p))).toBeCloseTo(z, 11);
  });

  it("gives the beta and F limits of the boiler and Ryan T2 sets (computed by R)", () => {
    const limit = (p: number, m: number, q: number): number => ((m - 1) ** 2 / m) * betaQuantile(q, p / 2, (m - p - 1) / 2);
    expect(limit(8, 25, 0.999)).toBeCloseTo(boiler["UCL_phase1_beta_0.999"], 8);
    const after = (p: number, m: number, q: number): number => ((p * (m + 1) * (m - 1)) / (m * (m - p))) * fQuantile(q, p, m - p);
    expect(after(8, 25, 0.999)).toBeCloseTo(boiler["UCL_phase2_F_0.999"], 8);
    const [p, m, n] = [2, 20, 4];
    const dof = m * n - m - p + 1;
    expect(((p * (m - 1) * (n - 1)) / dof) * fQuantile(1 - ryan.alpha, p, dof)).toBeCloseTo(ryan.UCL_phase1, 5);
  });

  it("has cumulative functions that undo the quantiles", () => {
    for (const p of [1e-100, 1e-22, 1e-16, 1e-6, 0.01, 0.3, 0.5, 0.9, 0.9999]) {
      expect(relative(normalCdf(normalQuantile(p)), p)).toBeLessThan(1e-10);
      if (p < 1e-12) continue;
      expect(relative(tCdf(tQuantile(p, 7), 7), p)).toBeLessThan(1e-10);
      expect(relative(fCdf(fQuantile(p, 3, 11), 3, 11), p)).toBeLessThan(1e-10);
    }
    expect(chiSquareQuantile(0.95, 2)).toBeCloseTo(-2 * Math.log(0.05), 11);
  });
});

describe("integrate", () => {
  it("integrates smooth, narrow and stepped functions", () => {
    expect(integrate(Math.sin, 0, Math.PI)).toBeCloseTo(2, 12);
    expect(integrate((x) => normalDensity(x * 200) * 200, -1, 1)).toBeCloseTo(1, 10);
    expect(integrate((x) => (x > 0.3 ? 1 : 0), 0, 1)).toBeCloseTo(0.7, 9);
    expect(integrate(Math.sin, 1, 1)).toBe(0);
  });
});
