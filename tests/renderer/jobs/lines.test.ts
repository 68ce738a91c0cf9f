import fc from "fast-check";
import { expect, test } from "vitest";
import type { LineStyle } from "../../../renderer/jobs/canvas/drawLines.ts";
import { drawLines, ownerAt } from "../../../renderer/jobs/canvas/drawLines.ts";
import { buildLines, type Lines, type Run } from "../../../renderer/jobs/canvas/lines.ts";

const style: LineStyle = { ink: "#000000", width: 1, dash: [], order: 0 };
const all = () => style;

const place = fc.record({ x: fc.double({ min: 0, max: 1000, noNaN: true }), y: fc.double({ min: 0, max: 700, noNaN: true }) });
const run: fc.Arbitrary<Run> = fc.record({ owner: fc.integer({ min: 0, max: 4 }), points: fc.array(place, { minLength: 2, maxLength: 12 }), closed: fc.boolean() });

/** Records what is drawn; only the calls that drawLines makes. */
function pen(): { g: CanvasRenderingContext2D; edges: number[][] } {
  const edges: number[][] = [];
  let at = [0, 0];
  const g = {
    beginPath() {}, stroke() {}, setLineDash() {},
    moveTo: (x: number, y: number) => void (at = [x, y]),
    lineTo: (x: number, y: number) => {
      edges.push([...at, x, y]);
      at = [x, y];
    },
  };
  return { g: g as unknown as CanvasRenderingContext2D, edges };
}

function drawn(lines: Lines, scale: number): number[][] {
  const { g, edges } = pen();
  const size = { width: 1000 * scale + 2, height: 700 * scale + 2 };
  for (const count of drawLines(g, lines, 700, { scale, x: 1, y: 1 }, size, all)) expect(count).toBeGreaterThan(0);
  return edges;
}

function distance(p: readonly number[], [x0, y0, x1, y1]: readonly number[]): number {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const t = Math.max(0, Math.min(1, ((p[0] - x0) * dx + (p[1] - y0) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p[0] - x0 - t * dx, p[1] - y0 - t * dy);
}

test("at any zoom every line is drawn, within a pixel of its place", () => {
  fc.assert(fc.property(fc.array(run, { minLength: 1, maxLength: 20 }), fc.constantFrom(0.02, 0.2, 1, 3), (runs, scale) => {
    const lines = buildLines(runs);
    if (!lines) return;
    const edges = drawn(lines, scale);
    for (const { points, closed } of runs) {
      const ends = closed ? [...points, points[0]] : points;
      for (let i = 1; i < ends.length; i++) {
        const middle = [1 + (scale * (ends[i - 1].x + ends[i].x)) / 2, 1 + scale * (700 - (ends[i - 1].y + ends[i].y) / 2)];
        expect(Math.min(...edges.map((e) => distance(middle, e)))).toBeLessThan(1);
      }
    }
  }));
});

test("a crowd seen from afar is drawn with fewer edges than it has, and never more than pixels can show", () => {
  const runs: Run[] = Array.from({ length: 40_000 }, (_, i) => ({ owner: 0, closed: false, points: [{ x: (i * 37) % 1000, y: (i * 91) % 700 }, { x: ((i * 37) % 1000) + 0.2, y: (i * 91) % 700 }] }));
  const lines = buildLines(runs);
  if (!lines) throw new Error("nothing was built");
  expect(lines.segments).toBe(40_000);
  expect(drawn(lines, 0.1).length).toBeLessThan(15_000);
});

test("the line under a place is the nearest within reach, and none where none is", () => {
  fc.assert(fc.property(fc.array(run, { minLength: 1, maxLength: 12 }), place, fc.double({ min: 0.1, max: 50, noNaN: true }), (runs, at, reach) => {
    const lines = buildLines(runs);
    if (!lines) return;
    const edges = runs.flatMap(({ owner, points, closed }) => (closed ? [...points, points[0]] : points).slice(1).map((p, i) => ({ owner, d: distance([at.x, at.y], [points[i].x, points[i].y, p.x, p.y]) })));
    const nearest = Math.min(...edges.map((e) => e.d));
    const found = ownerAt(lines, at, reach, all);
    // Lines are kept in single precision: a thousandth of a millimetre decides nothing.
    if (nearest > reach + 1e-3) expect(found).toBeNull();
    else if (nearest < reach - 1e-3) expect(edges.some((e) => e.owner === found && e.d < nearest + 1e-3)).toBe(true);
  }));
});

test("hidden owners are neither drawn nor found", () => {
  const lines = buildLines([{ owner: 0, closed: false, points: [{ x: 0, y: 0 }, { x: 100, y: 0 }] }]);
  if (!lines) throw new Error("nothing was built");
  expect(ownerAt(lines, { x: 50, y: 0 }, 1, () => null)).toBeNull();
  const { g, edges } = pen();
  expect([...drawLines(g, lines, 700, { scale: 1, x: 0, y: 0 }, { width: 1000, height: 700 }, () => null)]).toEqual([]);
  expect(edges).toEqual([]);
});
