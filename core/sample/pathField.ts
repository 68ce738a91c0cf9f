import { flattenCut, signedArea, type Subpath } from "../job/paths.ts";
import type { Cut } from "../job/schema.ts";

/** What `PathField.at` writes. */
export interface NearestPlace {
  /** Distance, mm: positive inside a closed path, left of an open one. */
  d: number;
  /** Distance along the path from its start, mm. */
  s: number;
  /** Unit direction in which d grows. */
  nx: number;
  ny: number;
}

/** Signed distances to the subpaths of one cut, exact within `reach` of it. */
export interface PathField {
  readonly id: string;
  readonly kind: Cut["kind"];
  readonly circle: boolean;
  readonly closed: boolean;
  readonly box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
  readonly area: number;
  /** Writes the nearest place; false where the path is farther than `reach` (then d is +-Infinity by side for a closed path) or past an open end. */
  at(x: number, y: number, out: NearestPlace): boolean;
}

const CELL = 6;
/** Columns of the edge table. */
const AX = 0, AY = 1, UX = 2, UY = 3, LENGTH = 4, S0 = 5, SIDE = 6, STARTX = 7, STARTY = 8, ENDX = 9, ENDY = 10, OPEN = 11, STRIDE = 12;

/** One field per subpath of a cut, exact to `reach` mm. Edges are kept in square bins; bins without an edge know their side. */
export function pathFields(cut: Cut, reach = 5): PathField[] {
  return flattenCut(cut, 0.002).map((subpath) => fieldOf(cut, subpath, reach));
}

function fieldOf(cut: Cut, subpath: Subpath, reach: number): PathField {
  const edges = edgeTable(subpath);
  const count = edges.length / STRIDE;
  const xs = subpath.points.map((p) => p.x);
  const ys = subpath.points.map((p) => p.y);
  const box = { x0: Math.min(...xs) - reach, y0: Math.min(...ys) - reach, x1: Math.max(...xs) + reach, y1: Math.max(...ys) + reach };
  const columns = Math.ceil((box.x1 - box.x0) / CELL);
  const rows = Math.ceil((box.y1 - box.y0) / CELL);
  const bins: number[][] = Array.from({ length: columns * rows }, () => []);
  for (let e = 0; e < count; e++) bin(edges, e, box, columns, rows, reach, bins);
  const inside = bins.map((bin, i) => bin.length === 0 && subpath.closed
    && isInside(subpath, box.x0 + ((i % columns) + 0.5) * CELL, box.y0 + (Math.floor(i / columns) + 0.5) * CELL));

  return {
    id: cut.id, kind: cut.kind, circle: "circle" in cut, closed: subpath.closed, box, area: Math.abs(signedArea(subpath)),
    at(x, y, out) {
      out.d = -Infinity;
      if (x < box.x0 || y < box.y0 || x >= box.x1 || y >= box.y1) return false;
      const cell = Math.floor((y - box.y0) / CELL) * columns + Math.floor((x - box.x0) / CELL);
      const near = bins[cell];
      if (near.length === 0) {
        if (inside[cell]) out.d = Infinity;
        return false;
      }
      return nearest(edges, near, x, y, out) <= reach;
    },
  };
}

/** Signed distance to the nearest of some edges; at a vertex the side is told by the mean of both edges' normals. */
function nearest(edges: Float64Array, near: readonly number[], x: number, y: number, out: NearestPlace): number {
  let best = Infinity;
  let past = false;
  for (const e of near) {
    const dx = x - edges[e + AX];
    const dy = y - edges[e + AY];
    const along = dx * edges[e + UX] + dy * edges[e + UY];
    const length = edges[e + LENGTH];
    const t = along < 0 ? 0 : along > length ? length : along;
    const rx = dx - t * edges[e + UX];
    const ry = dy - t * edges[e + UY];
    const square = rx * rx + ry * ry;
    if (square >= best) continue;
    best = square;
    const atStart = t === 0;
    const atEnd = t === length;
    const nx = atStart ? edges[e + STARTX] : atEnd ? edges[e + ENDX] : -edges[e + UY] * edges[e + SIDE];
    const ny = atStart ? edges[e + STARTY] : atEnd ? edges[e + ENDY] : edges[e + UX] * edges[e + SIDE];
    const side = rx * nx + ry * ny >= 0 ? 1 : -1;
    const d = Math.sqrt(square);
    out.d = side * d;
    out.s = edges[e + S0] + t;
    out.nx = d > 1e-9 ? (side * rx) / d : nx;
    out.ny = d > 1e-9 ? (side * ry) / d : ny;
    const open = edges[e + OPEN]; // 1: the path starts here, 2: it ends here, 3: both
    past = (open % 2 === 1 && along < 0) || (open >= 2 && along > length);
  }
  return past ? Infinity : Math.sqrt(best);
}

function edgeTable(subpath: Subpath): Float64Array {
  const { points, closed } = subpath;
  const count = closed ? points.length : points.length - 1;
  const side = !closed || signedArea(subpath) > 0 ? 1 : -1;
  const table = new Float64Array(count * STRIDE);
  let s = 0;
  for (let i = 0; i < count; i++) {
    const a = points[i];
    const b = points[(i + 1) % points.length];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    table.set([a.x, a.y, (b.x - a.x) / length, (b.y - a.y) / length, length, s, side], i * STRIDE);
    if (!closed && i === 0) table[i * STRIDE + OPEN] += 1;
    if (!closed && i === count - 1) table[i * STRIDE + OPEN] += 2;
    s += length;
  }
  for (let i = 0; i < count; i++) {
    const e = i * STRIDE;
    const before = closed || i > 0 ? ((i + count - 1) % count) * STRIDE : e;
    const after = closed || i < count - 1 ? ((i + 1) % count) * STRIDE : e;
    table[e + STARTX] = -side * (table[e + UY] + table[before + UY]) / 2;
    table[e + STARTY] = (side * (table[e + UX] + table[before + UX])) / 2;
    table[e + ENDX] = -side * (table[e + UY] + table[after + UY]) / 2;
    table[e + ENDY] = (side * (table[e + UX] + table[after + UX])) / 2;
  }
  return table;
}

/** Enters edge e in every bin that holds a point within `reach` of it. */
function bin(edges: Float64Array, index: number, box: PathField["box"], columns: number, rows: number, reach: number, bins: number[][]): void {
  const e = index * STRIDE;
  const x1 = edges[e + AX] + edges[e + UX] * edges[e + LENGTH];
  const y1 = edges[e + AY] + edges[e + UY] * edges[e + LENGTH];
  const column = (x: number): number => Math.max(0, Math.min(columns - 1, Math.floor((x - box.x0) / CELL)));
  const row = (y: number): number => Math.max(0, Math.min(rows - 1, Math.floor((y - box.y0) / CELL)));
  const far = reach + CELL * Math.SQRT1_2;
  for (let j = row(Math.min(edges[e + AY], y1) - reach); j <= row(Math.max(edges[e + AY], y1) + reach); j++) {
    for (let i = column(Math.min(edges[e + AX], x1) - reach); i <= column(Math.max(edges[e + AX], x1) + reach); i++) {
      const dx = box.x0 + (i + 0.5) * CELL - edges[e + AX];
      const dy = box.y0 + (j + 0.5) * CELL - edges[e + AY];
      const t = Math.max(0, Math.min(edges[e + LENGTH], dx * edges[e + UX] + dy * edges[e + UY]));
      if (Math.hypot(dx - t * edges[e + UX], dy - t * edges[e + UY]) <= far) bins[j * columns + i].push(e);
    }
  }
}

function isInside(subpath: Subpath, x: number, y: number): boolean {
  let crossings = false;
  const { points } = subpath;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const a = points[i];
    const b = points[j];
    if (a.y > y !== b.y > y && x < a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)) crossings = !crossings;
  }
  return crossings;
}
