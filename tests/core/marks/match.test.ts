import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Mark } from "../../../core/job/schema.ts";
import { describe as descriptorOf, inkMoments } from "../../../core/marks/descriptor.ts";
import type { Candidate } from "../../../core/marks/find.ts";
import { growFromCorners } from "../../../core/marks/growFromCorners.ts";
import { lineUp } from "../../../core/marks/lineup.ts";
import { matchLayout } from "../../../core/marks/match.ts";
import { patchOf } from "../../../core/marks/resemblance.ts";
import { inkArea } from "../../../core/marks/shapes.ts";

const picture = { width: 4000, height: 3000 };
const scale = { least: 0.6, likely: 3, most: 6 };

const layout: Mark[] = [
  { id: "M1", shape: "dot", x: 20, y: 20, diameter: 6 }, { id: "M2", shape: "ring", x: 980, y: 24, outer: 8, inner: 5 },
  { id: "M3", shape: "cross", x: 975, y: 680, size: 10, stroke: 1 }, { id: "M4", shape: "dot", x: 24, y: 660, diameter: 6 },
  { id: "M5", shape: "square", x: 520, y: 20, size: 6 }, { id: "M6", shape: "ring", x: 470, y: 684, outer: 8, inner: 5 },
  { id: "M7", shape: "dot", x: 16, y: 380, diameter: 6 }, { id: "M8", shape: "square", x: 985, y: 300, size: 6 },
];

interface Pose { turn: number; hand: number; taper: number; k: number }

/** A camera of our own: similarity, taper along x, radial term about the middle (units of the half diagonal). */
function see(pose: Pose, x: number, y: number): [number, number] {
  const c = Math.cos(pose.turn);
  const s = Math.sin(pose.turn);
  const X = (pose.hand * (x - 500)) / 500;
  const Y = (y - 350) / 500;
  const w = 1 + pose.taper * X;
  const u = (0.55 * (c * X - s * Y)) / w;
  const v = (-0.55 * (s * X + c * Y)) / w;
  const f = 1 + pose.k * (u * u + v * v);
  return [2000 + 2500 * u * f, 1500 + 2500 * v * f];
}

function candidateOf(mark: Mark, at: [number, number], size = 2.75): Candidate {
  const area = inkArea(mark);
  return { x: at[0], y: at[1], area: area * size * size, tone: "dark", peak: 120, sigma: 0.9, patch: patchOf(mark), ...descriptorOf(...inkMoments(mark), area) };
}

/** The candidates of a picture: visible marks first, then look-alikes anywhere. */
function candidates(pose: Pose, hidden: readonly number[], seeds: readonly number[]): Candidate[] {
  const seen = layout.flatMap((m, i) => (hidden.includes(i) ? [] : [candidateOf(m, see(pose, m.x, m.y))]));
  const clutter = seeds.map((seed, i) => candidateOf(layout[i % layout.length], [(seed % 3989) + 5, (Math.floor(seed / 3989) % 2989) + 5], 2.3 + (seed % 90) / 100));
  return [...seen, ...clutter];
}

describe("matching the layout", () => {
  it("names every visible mark rightly at any turn, tilt, lens and hand, with two hidden among look-alikes", () => {
    const pose = fc.record({
      turn: fc.double({ min: -3.14, max: 3.14, noNaN: true }), hand: fc.constantFrom(1, -1),
      taper: fc.double({ min: -0.15, max: 0.15, noNaN: true }), k: fc.double({ min: -0.06, max: 0.06, noNaN: true }),
    });
    const hidden = fc.uniqueArray(fc.nat(7), { minLength: 2, maxLength: 2 });
    const clutter = fc.array(fc.nat(11_000_000), { minLength: 40, maxLength: 80 });
    fc.assert(fc.property(pose, hidden, clutter, (p, h, seeds) => {
      const { hypotheses } = matchLayout(layout, candidates(p, h, seeds), scale, picture, 100);
      expect(hypotheses.length).toBeGreaterThan(0);
      const visible = layout.map((_, i) => i).filter((i) => !h.includes(i));
      for (const pair of hypotheses[0].pairs) if (pair.candidate < visible.length) expect(visible[pair.candidate]).toBe(pair.mark);
      expect(hypotheses[0].pairs.filter((pair) => pair.candidate < visible.length).length).toBeGreaterThanOrEqual(5);
    }), { numRuns: 15, seed: 7 });
  });

  it("shows two equal ways to see a layout that looks the same after a half turn", () => {
    const symmetric: Mark[] = [[20, 20], [980, 20], [980, 680], [20, 680]].map(([x, y], i) => ({ id: `M${i}`, shape: "dot", x, y, diameter: 6 }));
    for (const taper of [0.05, 0.2]) {
      const pose = { turn: 0.4, hand: 1, taper, k: 0 };
      // What is nearer is larger: w^-3/2 (see layoutFit.ts).
      const size = (x: number): number => 2.75 * (1 + (taper * (x - 500)) / 500) ** -1.5;
      const { hypotheses } = matchLayout(symmetric, symmetric.map((m) => candidateOf(m, see(pose, m.x, m.y), size(m.x))), scale, picture, 100);
      expect(hypotheses.length).toBeGreaterThan(1);
      expect(hypotheses[0].logOdds - hypotheses[1].logOdds).toBeLessThan(7);
    }
  });

  it("finds five marks of eight among ninety patches of each size that look less like them, which their places alone would not tell from chance", () => {
    const pose = { turn: 2.1, hand: -1, taper: 0.1, k: 0 };
    const clutter = Array.from({ length: 360 }, (_, i): Candidate => {
      const like = layout[i % layout.length];
      const other = candidateOf(layout[(i + 1) % layout.length], [0, 0]);
      // Something between the mark and another one.
      const patch = patchOf(like).map((v, k) => (v + 0.4 * other.patch[k]) / 1.4);
      return { ...candidateOf(like, [((i * 7_368_787 + 999) % 3989) + 5, ((i * 3_141_593 + 17) % 2989) + 5], 2.3 + (i % 90) / 100), patch };
    });
    const seen = layout.flatMap((m, i) => ([2, 5, 7].includes(i) ? [] : [candidateOf(m, see(pose, m.x, m.y))]));
    const [best] = matchLayout(layout, [...clutter, ...seen], scale, picture, 60).hypotheses;
    expect(best.pairs.filter((p) => p.candidate >= clutter.length).map((p) => [0, 1, 3, 4, 6][p.candidate - clutter.length] === p.mark)).toEqual([true, true, true, true, true]);
    const blind = matchLayout(layout, [...clutter, ...seen].map((c) => ({ ...c, patch: clutter[0].patch })), scale, picture, 60).hypotheses;
    expect(blind.length === 0 || blind[0].pairs.filter((p) => p.candidate >= clutter.length).length < 5).toBe(true);
  });

  it("gives little credit to chance: look-alikes without the layout stay below what a match needs", () => {
    const seeds = Array.from({ length: 80 }, (_, i) => (i * 7_368_787 + 12_345) % 11_000_000);
    const { hypotheses } = matchLayout(layout, candidates({ turn: 0, hand: 1, taper: 0, k: 0 }, layout.map((_, i) => i), seeds), scale, picture, 100);
    expect(hypotheses.every((h) => h.logOdds < 8)).toBe(true);
  });
});

describe("growing the layout from a code", () => {
  it("names the marks among some two hundred look-alikes, of which matching by the marks alone would have to try millions", () => {
    const square = [[-9, 9], [9, 9], [9, -9], [-9, -9]];
    const clutter = fc.array(fc.nat(11_000_000), { minLength: 160, maxLength: 220 });
    const off = fc.array(fc.double({ min: -1.2, max: 1.2, noNaN: true }), { minLength: 8, maxLength: 8 });
    fc.assert(fc.property(fc.double({ min: -3.14, max: 3.14, noNaN: true }), fc.constantFrom(1, -1), fc.double({ min: -0.1, max: 0.1, noNaN: true }), clutter, off, (turn, hand, taper, seeds, d) => {
      const pose = { turn, hand, taper, k: 0 };
      const lineup = lineUp(layout, candidates(pose, [3, 6], seeds), scale, picture.width * picture.height, 250);
      const corners = square.map(([x, y], i) => {
        const [u, v] = see(pose, 880 + x, 40 + y);
        return { print: { x: 880 + x, y: 40 + y }, picture: { x: u + d[2 * i], y: v + d[2 * i + 1] }, sigma: 1.2 };
      });
      const [best] = growFromCorners(lineup, picture, corners);
      const visible = [0, 1, 2, 4, 5, 7];
      const right = best.pairs.filter((pair) => visible[pair.candidate] === pair.mark).length;
      expect(right).toBeGreaterThanOrEqual(5);
      expect(best.pairs.length - right).toBeLessThanOrEqual(1);
    }), { numRuns: 12, seed: 5 });
  });
});
