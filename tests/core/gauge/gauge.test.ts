import { describe, expect, it } from "vitest";
import { biasOf, lengthCheck, linearityOf } from "../../../core/gauge/bias.ts";
import { gaugeStudy, type Reading } from "../../../core/gauge/study.ts";
import { readGaugeTable } from "../../../core/gauge/table.ts";
import aiag from "../../reference/aiag_gauge_rr.json" with { type: "json" };
import { gaussian } from "../../support/gaussian.ts";

const readings: Reading[] = aiag.data.flatMap((row, part) => row.map((value, j) => ({ part: `P${part}`, operator: "ABC"[Math.floor(j / 3)], value })));

describe("gaugeStudy", () => {
  it("gives the AIAG example to its printed digits (data and ANOVA figures second-hand, recomputed)", () => {
    const study = gaugeStudy(readings, 8);
    if ("reason" in study) throw new Error(study.reason);
    const p = aiag.printed_anova_help_page;
    const { anova, components: c } = study;
    expect([anova.part.ms, anova.operator.ms, anova.interaction.ms, anova.repeatability.ms].map((v) => v.toFixed(5))).toEqual([
      p.MS_part, p.MS_operator, p.MS_interaction, p.MS_repeat,
    ]);
    expect(study.pInteraction?.toFixed(3)).toBe(p.p_interaction);
    expect(study.pooled).toBe(true);
    expect([c.gauge, c.repeatability, c.reproducibility, c.part, c.total].map((x) => x.variance.toFixed(5))).toEqual(Object.values(p.VC));
    expect([c.gauge, c.part, c.total].map((x) => x.sd.toFixed(5))).toEqual(Object.values(p.sd));
    expect([c.gauge, c.repeatability, c.reproducibility, c.part].map((x) => x.ofStudy.toFixed(2))).toEqual(Object.values(p.pct_study));
    expect(c.gauge.contribution.toFixed(2)).toBe(p.pct_contribution_GRR);
    expect([c.gauge, c.part].map((x) => x.ofTolerance?.toFixed(2))).toEqual(Object.values(p.pct_tolerance));
    expect(study.ndc).toBe(p.ndc);
  });

  it("does not take rounding for scatter: readings that repeat to the last digit", () => {
    const same = ["A", "B"].flatMap((part, i) => ["Ada", "Ben"].flatMap((operator) => [0.083 + 0.541 * i, 0.083 + 0.541 * i].map((value) => ({ part, operator, value: value + 1e-17 * operator.length }))));
    expect(gaugeStudy(same, 1)).toMatchObject({ ndc: null, pInteraction: null });
  });

  it("keeps an interaction that is there", () => {
    const normal = gaussian(4);
    const made = Array.from({ length: 10 }, (_, i) => ["A", "B", "C"].flatMap((operator) => {
      const own = normal();
      return [0, 1, 2].map(() => ({ part: `${i}`, operator, value: 3 * i + own + 0.1 * normal() }));
    })).flat();
    const study = gaugeStudy(made);
    if ("reason" in study) throw new Error(study.reason);
    expect(study.pooled).toBe(false);
    expect(study.components.repeatability.sd).toBeCloseTo(0.1, 1);
    expect(study.components.reproducibility.sd).toBeGreaterThan(0.5);
  });

  it("says what is missing in an unbalanced study", () => {
    expect(gaugeStudy(readings.slice(1))).toMatchObject({ reason: expect.stringMatching(/measured part P/) });
    expect(gaugeStudy(readings.filter((r) => r.operator === "A"))).toMatchObject({ reason: expect.stringMatching(/two operators/) });
  });
});

describe("bias, linearity, length check", () => {
  const known = [0, 1, 2, 3, 4].flatMap((reference) => [-0.01, 0.01].map((e) => ({ reference, value: reference * 1.02 + 0.05 + e })));

  it("finds the line that the errors were made of", () => {
    expect(linearityOf(known)).toMatchObject({ slope: expect.closeTo(0.02, 10), intercept: expect.closeTo(0.05, 10) });
    expect(biasOf(known)).toMatchObject({ n: 10, bias: expect.closeTo(0.09, 10) });
    expect(biasOf(known)?.p).toBeLessThan(0.001);
    expect(biasOf([{ reference: 1, value: 1 }])).toBeNull();
  });

  it("permits A + L/K", () => {
    expect(lengthCheck([{ reference: 500, value: 500.099 }], 0.05, 10_000)).toMatchObject({ passed: true, worst: { permitted: 0.1 } });
    expect(lengthCheck([{ reference: 500, value: 499.899 }, { reference: 10, value: 10 }], 0.05, 10_000)?.passed).toBe(false);
  });

  it("reads tables of either kind and names what is wrong", () => {
    expect(readGaugeTable("part,operator,value\na,b,1\n")).toMatchObject({ readings: [{ part: "a", operator: "b", value: 1 }], known: [] });
    expect(readGaugeTable("reference,value\n1,1.1\n")).toMatchObject({ readings: [], known: [{ reference: 1, value: 1.1 }] });
    expect(readGaugeTable("part,operator,value\na,b,x\n")).toMatchObject({ fault: { message: expect.stringMatching(/Row 1, column "value": "x"/) } });
    expect(readGaugeTable("value\n1\n")).toHaveProperty("fault");
  });
});
