import { circleOutline, ellipseEdges, mapOutline, type Outline } from "../import/outline.ts";
import type { Mark } from "../schema.ts";

/** The outlines of a mark as printed, to be filled by the even-odd rule; `circle` where it is one disc. Print frame, mm. */
export function markOutlines(mark: Mark): { readonly outlines: readonly Outline[]; readonly circle?: { readonly x: number; readonly y: number; readonly diameter: number } } {
  const { x, y } = mark;
  switch (mark.shape) {
    case "dot":
      return { outlines: [circleOutline(x, y, mark.diameter / 2)], circle: { x, y, diameter: mark.diameter } };
    case "ring":
      return { outlines: [circleOutline(x, y, mark.outer / 2), circleOutline(x, y, mark.inner / 2)] };
    case "square":
      return { outlines: [polygon(x, y, corners(mark.size / 2))] };
    case "cross":
      return { outlines: [turned(polygon(0, 0, plus(mark.size / 2, mark.stroke / 2)), x, y, mark.angle ?? 0)] };
    case "checker": {
      // The dark quarters are the upper right and the lower left one (contract section 2): light ink has the other two.
      const first = mark.tone === "light" ? Math.PI / 2 : 0;
      return { outlines: [quarter(x, y, mark.diameter / 2, first), quarter(x, y, mark.diameter / 2, first + Math.PI)] };
    }
  }
}

type Corner = readonly [number, number];

const corners = (h: number): Corner[] => [[h, -h], [h, h], [-h, h], [-h, -h]];

/** A plus sign of arms to `a`, `b` half as wide as its stroke, counter-clockwise. */
const plus = (a: number, b: number): Corner[] => [[a, -b], [a, b], [b, b], [b, a], [-b, a], [-b, b], [-a, b], [-a, -b], [-b, -b], [-b, -a], [b, -a], [b, -b]];

function polygon(x: number, y: number, points: readonly Corner[]): Outline {
  const [first, ...rest] = points.map(([u, v]) => [x + u, y + v]);
  return { x: first[0], y: first[1], edges: rest, closed: true };
}

function turned(o: Outline, x: number, y: number, degrees: number): Outline {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return mapOutline(o, [c, s, -s, c, x, y]);
}

/** A quarter of a disc from direction `from`, counter-clockwise, starting at its centre. */
function quarter(x: number, y: number, r: number, from: number): Outline {
  const start = [x + r * Math.cos(from), y + r * Math.sin(from)];
  return { x, y, edges: [start, ...ellipseEdges([x, y], [r, 0], [0, r], from, Math.PI / 2)], closed: true };
}
