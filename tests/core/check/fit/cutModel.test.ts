import { describe, expect, it } from "vitest";
import { CUT_TERMS, displacement } from "../../../../core/check/fit/cutMap.ts";
import type { CutSighting, EdgeLook, MarkSighting } from "../../../../core/check/fit/equations.ts";
import { estimateOf } from "../../../../core/check/uncertainty/estimate.ts";
import type { Solution } from "../../../../core/check/fit/solution.ts";
import { solve } from "../../../../core/check/fit/solve.ts";
import { TERM_COUNT } from "../../../../core/check/view/viewModel.ts";
import { gaussian } from "../../../support/gaussian.ts";

const frame = { print: { x: 300, y: 200, half: 300 }, picture: { x: 3000, y: 2000, half: 3000 } };
const datum = { x: 300, y: 200 };
const SIGMA = 0.01;
/** A flat scan at ten pixels per mm, y down. */
const see = ({ x, y }: { x: number; y: number }) => ({ x: 10 * x, y: 4000 - 10 * y });
const start = new Float64Array(TERM_COUNT);
start.set([1, 0, 0, 0, -1, 0]);

/** The sides of six blanks that fill the sheet; those of one beside its edge. */
const SPREAD = [30, 220, 410].flatMap((x0) => [30, 210].map((y0) => [x0, y0] as const));
const CLOSE = [[400, 210]] as const;

/** Six marks and the sides of blanks of a sheet whose cuts lie where `terms` put them; `shown`: share of all cuts that those are, `edge`: what they look like. */
function solved(terms: Float64Array, noise: () => number, blanks: readonly (readonly [number, number])[] = SPREAD, shown = 1, edge?: EdgeLook): Solution {
  const marks = [[15, 15], [585, 20], [580, 385], [20, 380], [300, 12], [310, 388]].map(([x, y], mark): MarkSighting => {
    const at = see({ x, y });
    return { mark, print: { x, y }, seen: { ...at, x: at.x + 0.02 * noise(), y: at.y + 0.02 * noise() }, covariance: { xx: 4e-4, xy: 0, yy: 4e-4 } };
  });
  const cuts: CutSighting[] = [];
  const paths: number[] = [];
  for (const [b, [x0, y0]] of blanks.entries()) {
    for (let k = 0.5; k < 16; k++) {
      for (const [x, y, nx, ny] of [[x0 + 10 * k, y0, 0, -1], [x0 + 10 * k, y0 + 160, 0, 1], [x0, y0 + 10 * k, -1, 0], [x0 + 160, y0 + 10 * k, 1, 0]]) {
        const d = displacement(terms, datum, frame.print.half, { x, y });
        const t = nx * d.x + ny * d.y + SIGMA * noise();
        cuts.push({ print: { x, y }, nx, ny, tx: -ny, ty: nx, curvature: 0, seen: see({ x: x + t * nx, y: y + t * ny }), sigma: SIGMA, ...(edge ? { edge, away: 1 } : {}) });
        paths.push(b);
      }
    }
  }
  // By themselves the marks scatter as they are stated to, as a check has found before it asks for the cuts.
  const solution = solve({ marks, cuts, paths, shown, frame: frame, datum: datum, lensKnown: false, start, fewestMarks: 3, flat: true, markScale: 1 });
  if (!solution) throw new Error("not determined");
  return solution;
}

const withTerms = (...last: readonly number[]): Float64Array => Float64Array.from([0.2, -0.1, 0.15, 0.05, -0.1, 0.08, ...last]);

describe("which map the cuts ask for", () => {
  it("is affine where nothing bends, in nineteen of twenty sheets at least", () => {
    const noise = gaussian(5);
    const kinds = Array.from({ length: 40 }, () => solved(withTerms(), noise).model.cut);
    expect(kinds.filter((kind) => kind === "affine").length).toBeGreaterThanOrEqual(38);
  });

  it("is a taper where the feed tapers", () => {
    expect(solved(withTerms(0.06, -0.04), gaussian(6)).model.cut).toBe("projective");
  });

  it("is a taper of a stripped piece only where that is plain: what stands about it draws its sides unlike", () => {
    const kindOf = (x: number, edge: EdgeLook): string => solved(withTerms(x, -x), gaussian(6), SPREAD, 0.5, edge).model.cut;
    expect([kindOf(0.014, "line"), kindOf(0.014, "step")]).toEqual(["projective", "affine"]);
    expect(kindOf(0.06, "step")).toBe("projective");
  });

  it("is a curve where the cut bows, and gives the offset at the datum, which a straight map draws to the bow's mean", () => {
    const noise = gaussian(7);
    let held = 0;
    for (let i = 0; i < 20; i++) {
      const solution = solved(withTerms(0, 0, 0.05, -0.08, 0, 0), noise);
      expect(solution.model.cut).toBe("curved");
      expect(solution.cut.length).toBe(CUT_TERMS.curved);
      const { x, y, sigma } = offsetOf(solution);
      if (Math.abs(x - 0.2) < 2 * sigma.x && Math.abs(y + 0.1) < 2 * sigma.y) held++;
      expect(Math.hypot(x - 0.2, y + 0.1)).toBeLessThan(0.012);
    }
    // Without the curve the mean of (X^2) over the cuts, 0.35, would stand as 0.028 mm of offset.
    expect(held).toBeGreaterThanOrEqual(16);
    expect(Math.abs(estimateOf(solved(withTerms(0, 0, 0.05, -0.08, 0, 0), noise)).scaleX + 0.05 / 0.3)).toBeLessThan(0.06);
  });

  it("is no curve where the cuts lie close together: their bend would leave turn and scale at the datum open", () => {
    const bow = withTerms(0, 0, 0.8, -0.9, 0, 0);
    expect(solved(bow, gaussian(8)).model.cut).toBe("curved");
    expect(solved(bow, gaussian(8), CLOSE).model.cut).not.toBe("curved");
  });

  it("is no curve where half of the cuts are not seen: it would bend where nothing is", () => {
    expect(solved(withTerms(0, 0, 0.05, -0.08, 0, 0), gaussian(7), SPREAD, 0.5).model.cut).not.toBe("curved");
  });
});

function offsetOf({ cut, covariance, free, size }: Solution): { x: number; y: number; sigma: { x: number; y: number } } {
  const at = (i: number): number => Math.sqrt(covariance[(free.length + i) * (size + 1)]);
  return { x: cut[0], y: cut[1], sigma: { x: at(0), y: at(1) } };
}
