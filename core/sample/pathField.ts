import { flattenCut, signedArea, type Subpath } from "../job/paths.ts";
import type { Cut } from "../job/schema.ts";
import type { Box } from "./box.ts";

/** The nearest places on a path to many points, as columns. */
export interface NearestPlaces {
  /** Distance, mm: positive inside a closed path, left of an open one; +-Infinity by side where the path is out of reach, -Infinity past an open end. */
  readonly d: Float64Array;
  /** Within reach only: distance along the path from its start, mm, and the unit direction in which d grows. */
  readonly s: Float64Array;
  readonly nx: Float64Array;
  readonly ny: Float64Array;
}

/** Room for so many nearest places, to be used again and again. */
export function newPlaces(count: number): NearestPlaces {
  return { d: new Float64Array(count), s: new Float64Array(count), nx: new Float64Array(count), ny: new Float64Array(count) };
}

/** How a box lies to a path: near it in parts, or wholly farther than the field's reach on one side ("outside" where the path is open). */
export type Side = "inside" | "outside" | "near";

/** Signed distances to the subpaths of one cut, exact within `reach` of it. */
export interface PathField {
  readonly id: string;
  readonly kind: Cut["kind"];
  readonly circle: boolean;
  readonly closed: boolean;
  readonly box: Box;
  readonly area: number;
  /** How all points of a box lie, without looking at them. */
  side(box: Box): Side;
  /** Finds the nearest place to each of many points. */
  nearest(x: Float64Array, y: Float64Array, count: number, out: NearestPlaces): void;
  /** Distance of one point, as `nearest` gives it. */
  distance(x: number, y: number): number;
}

/** Side of a bin, mm. */
const CELL = 4;
/** Columns of the edge table. */
const AX = 0, AY = 1, UX = 2, UY = 3, LENGTH = 4, S0 = 5, SIDE = 6, STARTX = 7, STARTY = 8, ENDX = 9, ENDY = 10, OPEN = 11, STRIDE = 12;

/** One field per subpath of a cut, exact to `reach` mm. Edges are kept in square bins; bins without an edge know their side. */
export function pathFields(cut: Cut, reach = 5): PathField[] {
  return flattenCut(cut, 0.002).map((subpath) => fieldOf(cut, subpath, reach));
}

function fieldOf(cut: Cut, subpath: Subpath, reach: number): PathField {
  const edges = edgeTable(subpath);
  const xs = subpath.points.map((p) => p.x);
  const ys = subpath.points.map((p) => p.y);
  const box = { x0: Math.min(...xs) - reach, y0: Math.min(...ys) - reach, x1: Math.max(...xs) + reach, y1: Math.max(...ys) + reach };
  const bins = binned(edges, subpath, box, reach);
  const { columns, rows, start, inside } = bins;
  const column = (x: number): number => Math.max(0, Math.min(columns - 1, Math.floor((x - box.x0) / CELL)));
  const row = (y: number): number => Math.max(0, Math.min(rows - 1, Math.floor((y - box.y0) / CELL)));

  return {
    id: cut.id, kind: cut.kind, circle: "circle" in cut, closed: subpath.closed, box, area: Math.abs(signedArea(subpath)),
    side(b) {
      if (b.x1 < box.x0 || b.x0 >= box.x1 || b.y1 < box.y0 || b.y0 >= box.y1) return "outside";
      let within = 0, count = 0;
      for (let j = row(b.y0); j <= row(b.y1); j++) {
        for (let i = column(b.x0); i <= column(b.x1); i++, count++) {
          const cell = j * columns + i;
          if (start[cell + 1] > start[cell]) return "near";
          within += inside[cell];
        }
      }
      const beyond = b.x0 < box.x0 || b.y0 < box.y0 || b.x1 >= box.x1 || b.y1 >= box.y1;
      return within === 0 ? "outside" : within === count && !beyond ? "inside" : "near";
    },
    nearest: (x, y, n, out) => nearest(bins, edges, reach, x, y, n, out),
    distance(x, y) {
      const out = newPlaces(1);
      nearest(bins, edges, reach, Float64Array.of(x), Float64Array.of(y), 1, out);
      return out.d[0];
    },
  };
}

/** Bins row by row over a box: bin c holds the edges near[start[c]] to near[start[c + 1] - 1]; inside[c] tells an empty bin's side. */
interface Bins {
  readonly box: Box;
  readonly columns: number;
  readonly rows: number;
  readonly start: Int32Array;
  readonly near: Int32Array;
  readonly inside: Uint8Array;
}

function binned(edges: Float64Array, subpath: Subpath, box: Box, reach: number): Bins {
  const columns = Math.ceil((box.x1 - box.x0) / CELL);
  const rows = Math.ceil((box.y1 - box.y0) / CELL);
  const bins: number[][] = Array.from({ length: columns * rows }, () => []);
  for (let e = 0; e < edges.length / STRIDE; e++) bin(edges, e, box, columns, rows, reach, bins);
  const start = new Int32Array(bins.length + 1);
  bins.forEach((bin, c) => {
    start[c + 1] = start[c] + bin.length;
  });
  const inside = Uint8Array.from(bins, (bin, c) => Number(bin.length === 0 && subpath.closed
    && isInside(subpath, box.x0 + ((c % columns) + 0.5) * CELL, box.y0 + (Math.floor(c / columns) + 0.5) * CELL)));
  return { box, columns, rows, start, near: Int32Array.from(bins.flat()), inside };
}

/** Signed distances to the nearest edge; at a vertex the side is told by the mean of both edges' normals. */
function nearest(bins: Bins, edges: Float64Array, reach: number, xs: Float64Array, ys: Float64Array, count: number, out: NearestPlaces): void {
  const { box, columns, start, near, inside } = bins;
  for (let i = 0; i < count; i++) {
    const x = xs[i];
    const y = ys[i];
    out.d[i] = -Infinity;
    if (!(x >= box.x0 && y >= box.y0 && x < box.x1 && y < box.y1)) continue;
    const cell = (((y - box.y0) / CELL) | 0) * columns + (((x - box.x0) / CELL) | 0);
    if (start[cell] === start[cell + 1]) {
      if (inside[cell] === 1) out.d[i] = Infinity;
      continue;
    }
    let best = Infinity;
    let e = 0, t = 0, rx = 0, ry = 0;
    for (let n = start[cell]; n < start[cell + 1]; n++) {
      const edge = near[n];
      const dx = x - edges[edge + AX];
      const dy = y - edges[edge + AY];
      const along = dx * edges[edge + UX] + dy * edges[edge + UY];
      const foot = along < 0 ? 0 : along > edges[edge + LENGTH] ? edges[edge + LENGTH] : along;
      const px = dx - foot * edges[edge + UX];
      const py = dy - foot * edges[edge + UY];
      const square = px * px + py * py;
      if (square >= best) continue;
      best = square;
      e = edge;
      t = foot;
      rx = px;
      ry = py;
    }
    const atStart = t === 0, atEnd = t === edges[e + LENGTH];
    const nx = atStart ? edges[e + STARTX] : atEnd ? edges[e + ENDX] : -edges[e + UY] * edges[e + SIDE];
    const ny = atStart ? edges[e + STARTY] : atEnd ? edges[e + ENDY] : edges[e + UX] * edges[e + SIDE];
    const side = rx * nx + ry * ny >= 0 ? 1 : -1;
    const d = Math.sqrt(best);
    const open = edges[e + OPEN]; // 1: the path starts here, 2: it ends here, 3: both
    if (open > 0) {
      const along = (x - edges[e + AX]) * edges[e + UX] + (y - edges[e + AY]) * edges[e + UY];
      if ((open !== 2 && along < 0) || (open >= 2 && along > edges[e + LENGTH])) continue;
    }
    out.d[i] = d > reach ? side * Infinity : side * d;
    out.s[i] = edges[e + S0] + t;
    out.nx[i] = d > 1e-9 ? (side * rx) / d : nx;
    out.ny[i] = d > 1e-9 ? (side * ry) / d : ny;
  }
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
