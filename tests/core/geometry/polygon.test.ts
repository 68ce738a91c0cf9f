import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boxOf, distanceToSegment, encloses } from "../../../core/geometry/polygon.ts";

/** A window in the shape of an L. */
const L = [[0, 0], [4, 0], [4, 1], [1, 1], [1, 3], [0, 3]].map(([x, y]) => ({ x, y }));
const coordinate = fc.double({ min: -10, max: 10, noNaN: true });

describe("polygons", () => {
  it("hold what lies inside, also where they are hollow", () => {
    expect([[0.5, 2], [3, 0.5], [0.5, 0.5]].map(([x, y]) => encloses(L, { x, y }))).toEqual([true, true, true]);
    expect([[2, 2], [-1, 1], [5, 0.5], [0.5, 4]].map(([x, y]) => encloses(L, { x, y }))).toEqual([false, false, false, false]);
    expect(encloses([], { x: 0, y: 0 })).toBe(false);
  });

  it("hold nothing that their box does not", () => {
    fc.assert(fc.property(fc.array(fc.record({ x: coordinate, y: coordinate }), { minLength: 3 }), coordinate, coordinate, (points, x, y) => {
      const [l, b, r, t] = boxOf(points);
      return !encloses(points, { x, y }) || (x >= l && x <= r && y >= b && y <= t);
    }));
  });

  it("and the nearest point of a segment is an end, or square to it", () => {
    const [a, b] = [{ x: 0, y: 0 }, { x: 4, y: 0 }];
    expect(distanceToSegment({ x: 2, y: 3 }, a, b)).toBe(3);
    expect(distanceToSegment({ x: 7, y: 4 }, a, b)).toBe(5);
    expect(distanceToSegment({ x: -3, y: -4 }, a, b)).toBe(5);
    expect(distanceToSegment({ x: 3, y: 4 }, a, a)).toBe(5);
  });
});
