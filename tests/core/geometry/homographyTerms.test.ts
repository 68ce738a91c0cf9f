import { describe, expect, it } from "vitest";
import { homographyTerms } from "../../../core/geometry/homographyTerms.ts";

const TERMS = [0.6, 0.05, 0.01, 0.04, -0.58, -0.02, 0.2, -0.15];
const K = -0.08;

/** A homography, bent about the origin by one radial term. */
function seen(t: readonly number[], X: number, Y: number): { at: [number, number]; u: number; v: number; w: number } {
  const w = 1 + t[6] * X + t[7] * Y;
  const [u, v] = [(t[0] * X + t[1] * Y + t[2]) / w, (t[3] * X + t[4] * Y + t[5]) / w];
  const f = 1 + K * (u * u + v * v);
  return { at: [u * f, v * f], u, v, w };
}

describe("derivatives by the terms of a homography", () => {
  it.each([[0.9, -0.4], [-0.3, 0.7], [0, 0]])("are those of differences at (%d, %d), through a lens as well", (X, Y) => {
    const { u, v, w } = seen(TERMS, X, Y);
    const f = 1 + K * (u * u + v * v);
    const J = new Float64Array(2 * 9);
    homographyTerms(J, 9, X, Y, w, u, v, f + 2 * K * u * u, 2 * K * u * v, f + 2 * K * v * v);
    for (let i = 0; i < 8; i++) {
      const step = 1e-6;
      const [plus, minus] = [step, -step].map((d) => seen(TERMS.map((t, k) => (k === i ? t + d : t)), X, Y).at);
      expect(J[i]).toBeCloseTo((plus[0] - minus[0]) / (2 * step), 8);
      expect(J[9 + i]).toBeCloseTo((plus[1] - minus[1]) / (2 * step), 8);
    }
    expect([J[8], J[17]]).toEqual([0, 0]);
  });
});
