import { describe, expect, it } from "vitest";
import type { MarkSighting } from "../../../../core/check/fit/equations.ts";
import { solve } from "../../../../core/check/fit/solve.ts";
import { TERM_COUNT } from "../../../../core/check/view/viewModel.ts";
import { gaussian } from "../../../support/gaussian.ts";

const frame = { print: { x: 300, y: 200, half: 300 }, picture: { x: 3000, y: 2000, half: 3000 } };
const start = new Float64Array(TERM_COUNT);
start.set([1, 0, 0, 0, -1, 0]);
const SIGMA = 0.02;
const PLACES = [[480, 64], [460, 256], [425, 231], [580, 56], [71, 222], [360, 235], [320, 86], [510, 113]] as const;

/** Numbers of the marks that are thrown out of a photo at ten pixels per mm, where mark 4, alone in its corner, is seen `off` px from its place. */
function thrownOut(off: number, noise: () => number): readonly number[] | undefined {
  const marks = PLACES.map(([x, y], mark): MarkSighting => {
    const aside = mark === 4 ? off : 0;
    return { mark, print: { x, y }, seen: { x: 10 * x + SIGMA * noise() - 0.45 * aside, y: 4000 - 10 * y + SIGMA * noise() + 0.9 * aside }, covariance: { xx: SIGMA ** 2, xy: 0, yy: SIGMA ** 2 } };
  });
  return solve({ marks, cuts: [], paths: [], frame, datum: { x: 300, y: 200 }, lensKnown: false, start, fewestMarks: 4, flat: false })?.rejected;
}

describe("a mark that is half covered, alone in its corner", () => {
  it("is thrown out, though it draws the view to itself and its residual is no larger than others'", () => {
    const noise = gaussian(41);
    for (let i = 0; i < 20; i++) expect(thrownOut(4, noise)).toContain(4);
  });

  it("stays where it scatters as it states, and so do all others", () => {
    const noise = gaussian(42);
    for (let i = 0; i < 40; i++) expect(thrownOut(0, noise)).toEqual([]);
  });
});
