import { describe, expect, it } from "vitest";
import { estimateOf } from "../../../../core/check/uncertainty/estimate.ts";
import { CUT_TERMS, displacement, type CutKind } from "../../../../core/check/fit/cutMap.ts";
import type { CutSighting, MarkSighting } from "../../../../core/check/fit/equations.ts";
import type { Solution } from "../../../../core/check/fit/solution.ts";
import { solve } from "../../../../core/check/fit/solve.ts";
import { TERM_COUNT } from "../../../../core/check/view/viewModel.ts";
import { gaussian } from "../../../support/gaussian.ts";

const HALF = 200;

/** A solution of which only the cut terms matter, each known to 0.001 mm. */
function solved(kind: CutKind): Solution {
  const size = CUT_TERMS[kind];
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) covariance[i * (size + 1)] = 1e-6;
  return { cut: new Float64Array(size), covariance, size, free: [], data: { cuts: [], frame: { print: { half: HALF } } } } as unknown as Solution;
}

describe("uncertainties of the cut-to-print map", () => {
  it("are those of the fit where all six terms are fitted", () => {
    const { u } = estimateOf(solved("affine"));
    // A micrometre at the half span of 0.2 m; scale and skew of one axis have two such terms.
    expect(u.rotation).toBeCloseTo((Math.SQRT2 * 0.001) / 0.2, 6);
    expect(u.scaleX).toBeCloseTo((Math.SQRT2 * 0.001) / 0.2, 6);
    expect(u.skew).toBeCloseTo((2 * 0.001) / 0.2, 6);
  });

  it("hold what is usual where the cuts cannot support a term: an ellipse alone tells nothing of how it leans", () => {
    const { u } = estimateOf(solved("similarity"));
    expect(u.skew).toBeGreaterThan(3);
    expect(u.scaleX).toBeGreaterThan(1);
    expect(estimateOf(solved("shift")).u.rotation).toBeGreaterThan(8);
  });

  it("hold what an ellipse's lean, which passes for a turn, does to an offset at a datum beside it", () => {
    const frame = { print: { x: 300, y: 200, half: 300 }, picture: { x: 3000, y: 2000, half: 3000 } };
    const [datum, noise] = [{ x: 300, y: 200 }, gaussian(4)];
    const see = ({ x, y }: { x: number; y: number }) => ({ x: 10 * x, y: 4000 - 10 * y });
    const start = new Float64Array(TERM_COUNT);
    start.set([1, 0, 0, 0, -1, 0]);
    const marks = [[15, 15], [585, 20], [580, 385], [20, 380], [300, 12]].map(([x, y], mark): MarkSighting => ({ mark, print: { x, y }, seen: see({ x, y }), covariance: { xx: 1e-4, xy: 0, yy: 1e-4 } }));
    // A lean of 2 mm/m, 0.3 mm at the half span.
    const terms = Float64Array.of(0.1, -0.2, 0.1, 0.05, 0.02, 0.3);
    const cuts = Array.from({ length: 90 }, (_, k): CutSighting => {
      const at = ((k + 0.5) / 90) * 2 * Math.PI;
      const print = { x: 240 + 160 * Math.cos(at), y: 170 + 127 * Math.sin(at) };
      const size = Math.hypot(127 * Math.cos(at), 160 * Math.sin(at));
      const [nx, ny] = [(127 * Math.cos(at)) / size, (160 * Math.sin(at)) / size];
      const d = displacement(terms, datum, frame.print.half, print);
      const t = nx * d.x + ny * d.y + 0.002 * noise();
      return { print, nx, ny, tx: -ny, ty: nx, curvature: 0, seen: see({ x: print.x + t * nx, y: print.y + t * ny }), sigma: 0.002 };
    });
    const solution = solve({ marks, cuts, paths: cuts.map(() => 0), frame, datum, lensKnown: false, start, fewestMarks: 3, flat: true, markScale: 1 });
    if (!solution) throw new Error("not determined");
    expect(solution.model.cut).toBe("orthogonal");
    const { x, y, rotation, scaleX, offsetCovariance: { xx, yy }, u } = estimateOf(solution);
    const off = Math.max(Math.abs(x - 0.1), Math.abs(y + 0.2));
    // By what the fit alone says it would lie far outside.
    expect(off).toBeGreaterThan(10 * Math.sqrt(solution.covariance[solution.free.length * (solution.size + 1)]));
    expect(off).toBeLessThan(2 * Math.sqrt(Math.max(xx, yy)));
    expect(Math.abs(rotation - (0.1 + 0.3) / 0.3)).toBeLessThan(2 * u.rotation);
    expect(Math.abs(scaleX - (0.05 + 0.02) / 0.3)).toBeLessThan(0.05);
  });
});
