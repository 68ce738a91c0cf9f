import { describe, expect, it } from "vitest";
import { besideSlits } from "../../../../core/check/fit/besideSlits.ts";
import { alikeBiases, type CutSighting, type MarkSighting } from "../../../../core/check/fit/equations.ts";
import { estimateOf } from "../../../../core/check/uncertainty/estimate.ts";
import { solve } from "../../../../core/check/fit/solve.ts";
import { TERM_COUNT } from "../../../../core/check/view/viewModel.ts";
import { gaussian } from "../../../support/gaussian.ts";

const frame = { print: { x: 300, y: 200, half: 300 }, picture: { x: 3000, y: 2000, half: 3000 } };
const see = ({ x, y }: { x: number; y: number }) => ({ x: 10 * x, y: 4000 - 10 * y });
const start = new Float64Array(TERM_COUNT);
start.set([1, 0, 0, 0, -1, 0]);
const MARKS = [[15, 15], [585, 20], [580, 385], [20, 380], [300, 12], [310, 388]] as const;
const marks = MARKS.map(([x, y], mark): MarkSighting => ({ mark, print: { x, y }, seen: see({ x, y }), covariance: { xx: 1e-6, xy: 0, yy: 1e-6 } }));

/** What lips leave to slits and the shades at their feet to the edges of holes, mm. */
const [SLIT_LIP, HOLE_LIP] = [0.006, 0.045];

function sighting(print: { x: number; y: number }, nx: number, ny: number, t: number, rest: Pick<CutSighting, "sigma" | "lip" | "edge">): CutSighting {
  return { print, nx, ny, tx: -ny, ty: nx, curvature: 0, seen: see({ x: print.x + t * nx, y: print.y + t * ny }), away: rest.edge === "hole" ? -1 : 1, ...rest };
}

/** A piece's four sides as slits, and three holes of twelve chunks; lips and light draw each one way, (x, y) mm. */
function sheet(slitsTo: readonly [number, number], holesTo: readonly [number, number]): CutSighting[] {
  const slits = Array.from({ length: 40 }, (_, k) => (2 * k) / 39 - 1).flatMap((u) => ([[100, 200 + 120 * u, -1, 0], [500, 200 + 120 * u, 1, 0], [300 + 200 * u, 80, 0, -1], [300 + 200 * u, 320, 0, 1]] as const)
    .map(([x, y, nx, ny]) => sighting({ x, y }, nx, ny, nx * slitsTo[0] + ny * slitsTo[1], { sigma: 0.015, lip: SLIT_LIP, edge: "line" })));
  const holes = ([[40, 60], [560, 200], [300, 365]] as const).flatMap(([x, y]) => Array.from({ length: 12 }, (_, k) => {
    const [nx, ny] = [Math.cos, Math.sin].map((f) => f((Math.PI * k) / 6 + 0.2));
    return sighting({ x: x + 3 * nx, y: y + 3 * ny }, nx, ny, nx * holesTo[0] + ny * holesTo[1], { sigma: 0.002, lip: HOLE_LIP, edge: "hole" });
  }));
  return [...slits, ...holes];
}

function offsetOf(cuts: readonly CutSighting[]): number {
  const solution = solve({ marks, cuts, paths: cuts.map((_, i) => i), frame, datum: { x: 300, y: 200 }, lensKnown: false, start, fewestMarks: 3, flat: true, edgePriors: alikeBiases(1e-6) });
  if (!solution) throw new Error("not determined");
  return estimateOf(solution).x;
}

const spread = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);

describe("besideSlits", () => {
  it("lets holes whose feet draw them aside move the offset hardly more than the slits' own lips do", () => {
    const noise = gaussian(5);
    const [weighed, asSeen]: [number[], number[]] = [[], []];
    for (let i = 0; i < 60; i++) {
      const cuts = sheet([SLIT_LIP * noise(), SLIT_LIP * noise()], [HOLE_LIP * noise(), HOLE_LIP * noise()]);
      weighed.push(offsetOf(besideSlits(cuts)));
      asSeen.push(offsetOf(cuts));
    }
    console.log(`offset, root mean square: ${(1000 * spread(weighed)).toFixed(1)} um; by their pixels alone ${(1000 * spread(asSeen)).toFixed(1)} um`);
    expect(spread(weighed)).toBeLessThan(1.3 * SLIT_LIP);
    // The negative control: by their pixels the few holes would decide.
    expect(spread(asSeen)).toBeGreaterThan(3 * SLIT_LIP);
  });

  it("changes nothing where there are no slits, nor slits themselves, nor holes that are known far better", () => {
    const cuts = sheet([0, 0], [0, 0]);
    const holes = cuts.filter((c) => c.edge === "hole");
    expect(besideSlits(holes)).toEqual(holes);
    expect(besideSlits(cuts).filter((c) => c.edge === "line")).toEqual(cuts.filter((c) => c.edge === "line"));
    const known = cuts.map((c) => ({ ...c, lip: c.edge === "hole" ? 0.1 * SLIT_LIP : SLIT_LIP }));
    expect(besideSlits(known)).toEqual(known);
  });

  it("weighs a piece's sides, plain but for what their feet leave, against the faint slits in it by what is known of both", () => {
    const sides = sheet([0, 0], [0, 0]).filter((c) => c.edge === "line").map((c): CutSighting => ({ ...c, edge: "step", sigma: 0.004, lip: 0.02 }));
    const slits = Array.from({ length: 30 }, (_, k) => sighting({ x: 300, y: 120 + 5 * k }, 1, 0, 0, { sigma: 0.006, lip: 0.008, edge: "line" }));
    const told = (cuts: readonly CutSighting[]): number => cuts.reduce((sum, c) => sum + (c.counts ?? 1) / c.sigma ** 2, 0);
    const weighed = besideSlits([...sides, ...slits]);
    const ratio = told(weighed.filter((c) => c.edge === "step" && c.nx > 0.9)) / told(weighed.filter((c) => c.edge === "line"));
    expect(ratio).toBeGreaterThan(0.5 * (0.008 / 0.02) ** 2);
    expect(ratio).toBeLessThan(2 * (0.008 / 0.02) ** 2);
  });
});
