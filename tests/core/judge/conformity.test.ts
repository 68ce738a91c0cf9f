import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { conformity, lengthUncertainty, principalAxes, radialConformity } from "../../../core/judge/conformity.ts";
import { judge, verdictOf } from "../../../core/judge/judge.ts";
import jcgm from "../../reference/jcgm106_conformity.json" with { type: "json" };
import { gaussian, uniform } from "../../support/gaussian.ts";

const covariance = (s1: number, s2: number, angle: number) => {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return { xx: c * c * s1 * s1 + s * s * s2 * s2, xy: c * s * (s1 * s1 - s2 * s2), yy: s * s * s1 * s1 + c * c * s2 * s2 };
};

describe("conformity", () => {
  it("gives the oil example of JCGM 106 (two-sided; inputs and printed 0.66 from memory, digits computed)", () => {
    const { TL, TU, y, u, computed, printed } = jcgm.ex_two_sided_oil;
    const middle = (TL + TU) / 2;
    const p = conformity(y - middle, u, (TU - TL) / 2);
    expect(p).toBeCloseTo(computed, 11);
    expect(p.toFixed(2)).toBe(printed);
  });

  it("gives the made cases (computed)", () => {
    expect(jcgm.made_two_sided.length).toBeGreaterThan(10);
    for (const c of jcgm.made_two_sided) {
      expect(conformity(c.y - (c.TL + c.TU) / 2, c.u, (c.TU - c.TL) / 2)).toBeCloseTo(c.pc, 11);
    }
  });

  it("is a step where nothing is uncertain, and refuses figures that are none", () => {
    expect(conformity(-0.5, 0, 0.5)).toBe(1);
    expect(conformity(0.5001, 0, 0.5)).toBe(0);
    expect(() => conformity(Number.NaN, 0.1, 0.5)).toThrow(/finite/);
  });
});

describe("radialConformity", () => {
  it("equals 1 - exp(-L^2 / 2s^2) for a round cloud about zero (Rayleigh)", () => {
    for (const s of [1e-4, 0.01, 0.3, 1, 30]) {
      const expected = -Math.expm1(-(0.4 ** 2) / (2 * s * s));
      expect(radialConformity({ x: 0, y: 0 }, { xx: s * s, xy: 0, yy: s * s }, 0.4)).toBeCloseTo(expected, 10);
    }
  });

  it("becomes the one-dimensional conformity where the cloud is a line through the middle", () => {
    fc.assert(fc.property(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: 0, max: 3.2, noNaN: true }), (v, angle) => {
      const p = radialConformity({ x: v * Math.cos(angle), y: v * Math.sin(angle) }, covariance(0.1, 0, angle), 0.5);
      expect(p).toBeCloseTo(conformity(v, 0.1, 0.5), 6);
    }));
  });

  it("agrees with counting (40,000 draws each, 4.5 standard errors)", () => {
    const normal = gaussian(7);
    for (const [x, y, s1, s2, angle, limit] of [
      [0.35, 0.1, 0.1, 0.02, 0.7, 0.4], [0, 0.4, 0.05, 0.05, 0, 0.4], [0.02, -0.01, 0.3, 0.004, 2.2, 0.4],
      [-0.39, 0, 0.2, 0.001, 1.55, 0.4], [0.6, 0.6, 0.2, 0.1, 0.3, 0.4],
    ]) {
      const n = 40_000;
      let inside = 0;
      for (let i = 0; i < n; i++) {
        const [a, b] = [s1 * normal(), s2 * normal()];
        const [dx, dy] = [a * Math.cos(angle) - b * Math.sin(angle), a * Math.sin(angle) + b * Math.cos(angle)];
        if (Math.hypot(x + dx, y + dy) <= limit) inside++;
      }
      const p = radialConformity({ x, y }, covariance(s1, s2, angle), limit);
      expect(Math.abs(inside / n - p)).toBeLessThan(4.5 * Math.sqrt((p * (1 - p)) / n) + 1e-4);
    }
  });

  it("does not change when all is turned, is a probability, and does not care for the unit", () => {
    const unit = fc.double({ min: -0.8, max: 0.8, noNaN: true });
    const size = fc.double({ min: 1e-5, max: 1, noNaN: true });
    fc.assert(fc.property(unit, unit, size, size, fc.double({ min: 0, max: 6.3, noNaN: true }), (x, y, s1, s2, turn) => {
      const p = radialConformity({ x, y }, covariance(s1, s2, 0), 0.4);
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const turned = radialConformity({ x: c * x - s * y, y: s * x + c * y }, covariance(s1, s2, turn), 0.4);
      const scaled = radialConformity({ x: 1e6 * x, y: 1e6 * y }, covariance(1e6 * s1, 1e6 * s2, 0), 0.4e6);
      expect(p).toBeGreaterThanOrEqual(0);
      expect(p).toBeLessThanOrEqual(1);
      expect(turned).toBeCloseTo(p, 6);
      expect(scaled).toBeCloseTo(p, 8);
    }), { numRuns: 200 });
  });
});

describe("judge", () => {
  const round = { xx: 1e-4, xy: 0, yy: 1e-4 };
  const base = {
    position: { value: -0.284, u: 0.015 },
    offset: { x: 0.112, y: -0.041, cov: round },
    rotation: { value: 0.31, u: 0.025 },
    skew: { value: -0.02, u: 0.03 },
    scale: { x: -0.12, y: 0.08, ux: 0.025, uy: 0.025 },
  };

  it("judges only what has a tolerance, by size, with U = 2u", () => {
    expect(judge(base, { position: 0.5 })).toEqual({
      judged: [{ what: "position", value: 0.284, U: 0.03, limit: 0.5, verdict: "in", conformity: 1 }], verdict: "in",
    });
    const all = judge(base, { position: 0.5, offset: 0.4, rotation: 0.8, skew: 0.8, scale: 1, crease: 0.8 });
    expect(all.judged.map((j) => j.what)).toEqual(["position", "offset", "rotation", "skew", "scale"]);
    expect(all.judged[4].value).toBe(0.12);
    expect(all.judged[1].U).toBeCloseTo(0.02, 12);
  });

  it("is not out where a value is known so little that it lies beyond neither end of its limits for sure, though it hardly conforms", () => {
    const { judged: [, rotation] } = judge({ ...base, rotation: { value: 0.903, u: 16.5 } }, { position: 0.5, rotation: 0.8 });
    expect(rotation.conformity).toBeLessThan(0.05);
    expect(rotation.verdict).toBe("unsure");
    expect(judge({ ...base, rotation: { value: 40, u: 16.5 } }, { position: 0.5, rotation: 0.8 }).verdict).toBe("out");
  });

  it("is out where one value is out, unsure where one is unsure and none is out", () => {
    expect(judge({ ...base, rotation: { value: 0.79, u: 0.05 } }, { position: 0.5, rotation: 0.8 }).verdict).toBe("unsure");
    expect(judge({ ...base, rotation: { value: 0.95, u: 0.05 } }, { position: 0.5, rotation: 0.8 }).verdict).toBe("out");
    const both = judge({ ...base, position: { value: 0.5, u: 0.1 }, skew: { value: 2, u: 0.1 } }, { position: 0.5, skew: 0.8 });
    expect(both.verdict).toBe("out");
    expect(both.judged[0].verdict).toBe("unsure");
  });

  it("is not in where a cut was hardly seen, and out all the same where what was seen is", () => {
    const partly = judge({ ...base, position: { ...base.position, partly: true } }, { position: 0.5 });
    expect(partly).toMatchObject({ verdict: "unsure", judged: [{ what: "position", value: 0.284, U: 0.03, verdict: "unsure", conformity: 0.5 }] });
    expect(judge({ ...base, position: { value: 0.7, u: 0.02, partly: true } }, { position: 0.5 }).verdict).toBe("out");
  });

  it("is not in where a smaller deviation elsewhere is so little known that it may not conform, and out only where the worst is", () => {
    const position = { ...base.position, everywhere: [base.position, { value: 0.2, u: 0.2 }, { value: -0.1, u: 0.01 }] };
    const { judged: [seen], verdict } = judge({ ...base, position }, { position: 0.5 });
    expect(verdict).toBe("unsure");
    expect(seen).toMatchObject({ value: 0.284, U: 0.03 });
    expect(seen.conformity).toBeCloseTo(conformity(0.2, 0.2, 0.5), 12);
    expect(judge({ ...base, position: { ...position, everywhere: [{ value: 0.2, u: 0.1 }] } }, { position: 0.5 }).verdict).toBe("in");
    expect(judge({ ...base, position: { ...position, everywhere: [{ value: 0.1, u: 30 }] } }, { position: 0.5 }).verdict).toBe("unsure");
  });

  it("never calls a value out that lies within its limit, however little is known of it", () => {
    const { judged, verdict } = judge({ ...base, rotation: { value: 0.1, u: 30 } }, { position: 0.5, rotation: 0.8 });
    expect(judged[1].conformity).toBeLessThan(0.05);
    expect([judged[1].verdict, verdict]).toEqual(["unsure", "unsure"]);
  });

  it("judges the direction of stretch that is worse off", () => {
    const { judged } = judge({ ...base, scale: { x: 0.9, y: -0.85, ux: 0.01, uy: 0.3 } }, { position: 0.5, scale: 1 });
    expect(judged[1]).toMatchObject({ what: "scale", value: 0.85, verdict: "unsure" });
  });

  it("holds the thresholds of the contract", () => {
    expect([0.95, 0.9499, 0.0501, 0.05].map(verdictOf)).toEqual(["in", "unsure", "unsure", "out"]);
  });

  it("keeps at most 5 % of wrong verdicts near the limit (simulated, with a negative control)", () => {
    const random = uniform(11);
    const normal = gaussian(12);
    const wrong = (u: number, claimed: number): number => {
      let [judgedIn, trulyOut] = [0, 0];
      for (let i = 0; i < 20_000; i++) {
        const truth = 0.2 + 0.6 * random();
        const measured = { value: truth + u * normal(), u: claimed };
        if (judge({ ...base, position: measured }, { position: 0.5 }).verdict !== "in") continue;
        judgedIn++;
        if (truth > 0.5) trulyOut++;
      }
      return trulyOut / judgedIn;
    };
    expect(wrong(0.05, 0.05)).toBeLessThan(0.05);
    expect(wrong(0.05, 0.0001)).toBeGreaterThan(0.05);
  });
});

describe("principalAxes and lengthUncertainty", () => {
  it("finds the axes that a covariance was made of", () => {
    const { major, minor, cos, sin } = principalAxes(covariance(0.3, 0.1, 0.6));
    expect([major, minor]).toEqual([expect.closeTo(0.3, 12), expect.closeTo(0.1, 12)]);
    expect(Math.abs(cos * Math.cos(0.6) + sin * Math.sin(0.6))).toBeCloseTo(1, 12);
    expect(lengthUncertainty({ x: Math.cos(0.6), y: Math.sin(0.6) }, covariance(0.3, 0.1, 0.6))).toBeCloseTo(0.3, 12);
    expect(lengthUncertainty({ x: 0, y: 0 }, covariance(0.3, 0.1, 0.6))).toBeCloseTo(0.3, 12);
  });
});
