import { describe, expect, it } from "vitest";
import { movingRangeDof, nearIndex, outShare, radialOutShare, spreadIndex } from "../../../core/trend/capability.ts";
import { cusum } from "../../../core/trend/cusum.ts";
import { ewma } from "../../../core/trend/ewma.ts";
import { hotelling, t2Distances } from "../../../core/trend/hotelling.ts";
import { D2, D4, fromBaseline, individualsLimits, mean, movingRanges } from "../../../core/trend/individuals.ts";
import { fitLine, residualDeviation, slopeInterval } from "../../../core/trend/line.ts";
import { mannKendall } from "../../../core/trend/mannKendall.ts";
import { runRules, type RunRule } from "../../../core/trend/runRules.ts";
import { theilSen } from "../../../core/trend/theilSen.ts";
import { fQuantile, tQuantile } from "../../../core/statistics/distributions.ts";
import constants from "../../reference/control_chart_constants.json" with { type: "json" };
import nist from "../../reference/nist_handbook_spc.json" with { type: "json" };
import boiler from "../../reference/qcc_boiler_T2.json" with { type: "json" };
import ryan from "../../reference/qcc_ryan_T2.json" with { type: "json" };
import rings from "../../reference/qcc_pistonrings.json" with { type: "json" };
import rules from "../../reference/run_rules.json" with { type: "json" };
import strd from "../../reference/strd_regression.json" with { type: "json" };
import nile from "../../reference/trend_nile.json" with { type: "json" };
import small from "../../reference/trend_small.json" with { type: "json" };

const printed = (values: readonly (number | null)[], digits: number) => values.map((v) => v?.toFixed(digits));

describe("NIST/SEMATECH e-Handbook (second-hand, recomputed)", () => {
  it("6.3.2.2: individuals chart of the flow rates", () => {
    const { x, printed: p } = nist.individuals_6_3_2_2;
    const base = fromBaseline(x, { from: 1, to: x.length });
    if (!base?.sigmaWithin || base.movingRange === null) throw new Error("no baseline");
    const { lcl, ucl } = individualsLimits(base.centre, base.sigmaWithin);
    expect([base.centre.toFixed(2), base.movingRange.toFixed(4), ucl.toFixed(4), lcl.toFixed(4)]).toEqual([p.xbar, p.MRbar, p.UCL, p.LCL]);
    expect(printed(movingRanges(x).slice(1), 1)).toEqual(p.MR);
    expect(x.every((v) => v > lcl && v < ucl)).toBe(true);
  });

  it("6.3.2.4: EWMA to its printed places; the steady limits to 1e-4 (the printed LCL comes from a rounded factor)", () => {
    const { x, ewma0, s, lam, printed: p, computed } = nist.ewma_6_3_2_4;
    const chart = ewma(x, ewma0, s, lam);
    chart.values.forEach((v, i) => expect(v).toBeCloseTo(computed.ewma[i], 9));
    expect(printed(chart.values, 2)).toEqual(p.ewma);
    const late = ewma(new Array(200).fill(50), ewma0, s, lam);
    expect(late.ucl[199].toFixed(4)).toBe(p.UCL);
    expect(Math.abs(late.lcl[199] - Number(p.LCL))).toBeLessThan(1e-4);
    expect(chart.ucl[0]).toBeCloseTo(ewma0 + 3 * s * lam, 12);
  });

  it("6.3.2.3: CUSUM to its printed places (ties round either way), signals 14 to 20", () => {
    const { x, target, k, h, printed: p } = nist.cusum_6_3_2_3;
    const chart = cusum(x, target, k, h);
    p.S_hi.forEach((v, i) => expect(Math.abs((chart.high[i] ?? NaN) - Number(v))).toBeLessThan(0.0051));
    p.S_lo.forEach((v, i) => expect(Math.abs((chart.low[i] ?? NaN) - Number(v))).toBeLessThan(0.0051));
    expect(chart.high.flatMap((v, i) => ((v ?? 0) > h ? [i + 1] : []))).toEqual(p.signals);
  });

  it("6.1.6: capability", () => {
    const { USL, LSL, mean: m, s, printed: p } = nist.capability_6_1_6;
    const limits = { lower: LSL, upper: USL };
    expect(spreadIndex(limits, s, 49)?.value.toFixed(1)).toBe(p.Cp);
    expect(nearIndex(limits, m, s, 50, 49).value.toFixed(4)).toBe(p.Cpk);
    expect(nearIndex({ upper: USL }, m, s, 50, 49).value.toFixed(4)).toBe(p.Cpu);
    expect(nearIndex({ lower: LSL }, m, s, 50, 49).value.toFixed(4)).toBe(p.Cpl);
  });
});

describe("control chart constants for n = 2 (printed roundings from memory, digits computed)", () => {
  it("uses the table's d2 and D4", () => {
    expect(D2).toBe(Number(constants.constants["2"].d2.toFixed(3)));
    expect(D4).toBe(Number(constants.constants["2"].D4.toFixed(3)));
  });

  it("knows how much a moving-range sigma is worth (by the large-sample variance 0.8265 / n)", () => {
    expect(movingRangeDof(10_001) / 10_000).toBeCloseTo(1 / (2 * 0.8265), 3);
  });
});

describe("piston rings (printed values seen in the qcc article; digits by qcc)", () => {
  const samples = rings.data_40_samples_of_5;
  const means = samples.map(mean);
  const { center, sd_within_Rbar_d2: sigma } = rings.xbar;

  it("gives the X-bar limits and the samples beyond", () => {
    expect(mean(means.slice(0, 25))).toBeCloseTo(center, 9);
    const { lcl, ucl } = individualsLimits(center, sigma / Math.sqrt(5));
    expect([lcl, ucl]).toEqual([expect.closeTo(rings.xbar.LCL, 8), expect.closeTo(rings.xbar.UCL, 8)]);
    expect([lcl.toFixed(5), ucl.toFixed(4)]).toEqual([rings.published_qcc_article.LCL, rings.published_qcc_article.UCL]);
    expect(means.flatMap((v, i) => (v > ucl || v < lcl ? [i + 1] : []))).toEqual(rings.xbar.beyond_limits_in_26_40);
  });

  it("gives capability with intervals", () => {
    const limits = { lower: 73.95, upper: 74.05 };
    const c = rings["capability_LSL73.95_USL74.05_target74"];
    const cp = spreadIndex(limits, sigma, 124);
    [cp?.value, cp?.low, cp?.high].forEach((v, i) => expect(v).toBeCloseTo(c.Cp[i], 8));
    const cpk = nearIndex(limits, center, sigma, 125, 124);
    [cpk.value, cpk.low, cpk.high].forEach((v, i) => expect(v).toBeCloseTo(c.Cpk[i], 8));
  });

  it("gives the EWMA and its time-varying limits", () => {
    const reference = rings["ewma_lambda0.2_3sigma"];
    const chart = ewma(means, center, sigma / Math.sqrt(5), 0.2);
    reference.y.forEach((v, i) => expect(chart.values[i]).toBeCloseTo(v, 7));
    reference.LCL.forEach((v, i) => expect(chart.lcl[i]).toBeCloseTo(v, 7));
  });

  it("gives the CUSUM in standard units", () => {
    const z = means.map((m) => ((m - center) * Math.sqrt(5)) / sigma);
    const chart = cusum(z, 0, 0.5, 5);
    rings.cusum_h5_shift1.pos.forEach((v, i) => expect(chart.high[i]).toBeCloseTo(v, 6));
    rings.cusum_h5_shift1.neg.forEach((v, i) => expect(-(chart.low[i] ?? NaN)).toBeCloseTo(v, 6));
  });

  it("gives the individuals chart of the first trials (computed only)", () => {
    const r = rings.individuals_first_trial_of_1_25;
    const base = fromBaseline(r.x, { from: 1, to: 25 });
    expect(base?.sigmaWithin).toBeCloseTo(r.sd_MRbar_d2, 9);
    const { lcl, ucl } = individualsLimits(base?.centre ?? NaN, base?.sigmaWithin ?? NaN);
    expect([lcl, ucl]).toEqual([expect.closeTo(r.LCL, 7), expect.closeTo(r.UCL, 7)]);
  });
});

describe("Hotelling's T2 of the boiler data (computed by qcc)", () => {
  const column = (j: number) => boiler.data.map((row) => row[j]);

  it("for all eight temperatures", () => {
    const chart = hotelling(boiler.data[0].map((_, j) => column(j)), { from: 1, to: 25 }, 0.001);
    if ("reason" in chart) throw new Error(chart.reason);
    chart.values.forEach((v, i) => expect(v).toBeCloseTo(boiler.T2[i], 7));
    expect(chart.uclInside).toBeCloseTo(boiler["UCL_phase1_beta_0.999"], 8);
    expect(chart.uclAfter).toBeCloseTo(boiler["UCL_phase2_F_0.999"], 7);
    expect(chart.values.flatMap((v, i) => ((v ?? 0) > (chart.uclInside ?? 0) ? [i + 1] : []))).toEqual([boiler["beyond_phase1_0.999"]]);
  });

  it("for two of them, at the false-alarm probability of the contract", () => {
    const chart = hotelling([column(0), column(2)], { from: 1, to: 25 });
    if ("reason" in chart) throw new Error(chart.reason);
    const r = boiler.two_variables_t1_t3;
    chart.values.forEach((v, i) => expect(v).toBeCloseTo(r.T2[i], 9));
    expect([chart.uclInside, chart.uclAfter]).toEqual([expect.closeTo(r["UCL_phase1_beta_0.9973"], 8), expect.closeTo(r["UCL_phase2_F_0.9973"], 8)]);
  });

  it("says why where the values do not vary independently", () => {
    expect(hotelling([column(0), column(0).map((v) => 2 * v)], { from: 1, to: 25 })).toHaveProperty("reason");
    expect(hotelling([[1, 1, 1, 1], [1, 2, 3, 4]], { from: 1, to: 4 })).toHaveProperty("reason");
  });
});

describe("Hotelling's T2 of means of four (Ryan, Table 9.2: data seen in the qcc help page; limit 11.04 from memory, digits computed by qcc)", () => {
  it("gives each sample's T2, the limit of samples that set their own centre, and samples 10 and 20 beyond it", () => {
    const [p, m, n] = [2, ryan.X1.length, ryan.X1[0].length];
    const columns = [ryan.X1.map(mean), ryan.X2.map(mean)];
    const centre = columns.map(mean);
    centre.forEach((v, a) => expect(v).toBeCloseTo(ryan.center[a], 9));
    const distances = t2Distances(columns, centre, pooledCovariance([ryan.X1, ryan.X2]));
    const t2 = (distances ?? []).map((d) => n * (d ?? NaN));
    ryan.T2.forEach((v, i) => expect(t2[i]).toBeCloseTo(v, 9));
    const quantile = fQuantile(1 - ryan.alpha, p, m * (n - 1) - p + 1);
    const ucl = ((p * (m - 1) * (n - 1)) / (m * (n - 1) - p + 1)) * quantile;
    expect(ucl).toBeCloseTo(ryan.UCL_phase1, 6);
    expect(ucl.toFixed(2)).toBe("11.04");
    expect((ucl * (m + 1)) / (m - 1)).toBeCloseTo(ryan.UCL_phase2, 6);
    expect(t2.flatMap((v, i) => (v > ucl ? [i + 1] : []))).toEqual(ryan.beyond);
  });

  /** Mean over the samples of their covariance matrices (divisor n - 1). */
  function pooledCovariance(samples: readonly (readonly number[])[][]): number[][] {
    const [m, n] = [samples[0].length, samples[0][0].length];
    const within = (a: number, b: number) => samples[0].reduce((sum, _, i) => {
      const [x, y] = [samples[a][i], samples[b][i]];
      return sum + x.reduce((s, v, k) => s + (v - mean(x)) * (y[k] - mean(y)), 0);
    }, 0) / (m * (n - 1));
    return [[within(0, 0), within(0, 1)], [within(1, 0), within(1, 1)]];
  }
});

describe("Norris (NIST StRD, file seen)", () => {
  it("gives slope, its deviation and the residual deviation to 11 digits", () => {
    const { x, y, certified } = strd.Norris;
    const line = fitLine(x, y);
    if (!line) throw new Error("no line");
    const { high } = slopeInterval(line);
    const digits = (v: number, c: string) => -Math.log10(Math.abs(v / Number(c) - 1) + 1e-17);
    expect(digits(line.slope, certified.beta[1])).toBeGreaterThan(11);
    expect(digits(line.yMean - line.slope * line.xMean, certified.beta[0])).toBeGreaterThan(11);
    expect(digits((high - line.slope) / tQuantile(0.975, 34), certified.sd[1])).toBeGreaterThan(11);
    expect(digits(residualDeviation(line), certified.resid_sd)).toBeGreaterThan(11);
  });
});

describe("Mann-Kendall and Sen", () => {
  const years = nile.x.map((_, i) => 1871 + i);

  it("Nile (computed by R)", () => {
    const test = mannKendall(years, nile.x);
    expect(test).toMatchObject({ s: nile.S, variance: expect.closeTo(nile.varS_tie_corrected, 2), z: expect.closeTo(nile.Z_continuity, 9) });
    expect([test?.tau, test?.p]).toEqual([expect.closeTo(nile.kendall_tau_b, 10), expect.closeTo(nile.p_two_sided, 14)]);
    expect(theilSen(years, nile.x)).toBeCloseTo(nile.sen_slope_per_year, 12);
  });

  it("small exact case (EPA QA/G-9, from memory)", () => {
    const at = small.x.map((_, i) => i);
    expect(mannKendall(at, small.x)).toMatchObject({ s: small.S, p: expect.closeTo(2 * small.p_one_sided_exact, 10) });
    expect(theilSen(at, small.x)).toBeCloseTo(small.sen_slope, 12);
  });
});

describe("run rules (rules from memory; vector and flags made for this)", () => {
  const names: Record<string, RunRule> = {
    1: "beyond 3 sigma", 2: "9 in a row on one side", 3: "6 in a row steadily rising or falling", 4: "14 in a row alternating",
    5: "2 of 3 beyond 2 sigma on one side", 6: "4 of 5 beyond 1 sigma on one side", 7: "15 in a row within 1 sigma",
    8: "8 in a row with none within 1 sigma, on both sides",
  };

  it("flags the vector by both readings", () => {
    for (const [reading, expected] of [
      ["any", rules.flags_completing_point_any], ["beyond", { ...rules.flags_completing_point_any, ...rules.variant_point_itself_beyond }],
    ] as const) {
      const flags = runRules(rules.z, reading);
      for (const [key, at] of Object.entries(expected)) expect(flags.filter((f) => f.rule === names[key]).map((f) => f.at + 1), names[key]).toEqual(at);
    }
  });

  it("tells the two readings apart where the last point of a pattern lies inside", () => {
    const z = [0, 2.5, 2.5, 0.1];
    expect(runRules(z, "any").filter((f) => f.rule === names[5]).map((f) => f.at)).toEqual([2, 3]);
    expect(runRules(z, "beyond").filter((f) => f.rule === names[5]).map((f) => f.at)).toEqual([2]);
  });
});

describe("share out of tolerance", () => {
  it("agrees with the normal and, for a round cloud, with Rayleigh's formula", () => {
    expect(outShare({ lower: -3, upper: 3 }, 0, 1)).toBeCloseTo(0.0026997960632601866, 12);
    const x = Array.from({ length: 360 }, (_, i) => Math.cos((i * Math.PI) / 180));
    const y = Array.from({ length: 360 }, (_, i) => Math.sin((i * Math.PI) / 180));
    expect(radialOutShare(x, y, 1)).toBeCloseTo(Math.exp(-1 / (2 * (180 / 359))), 8);
  });
});
