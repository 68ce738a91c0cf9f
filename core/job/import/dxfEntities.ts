import { FARTHEST } from "../paths.ts";
import { all, has, num, type Entity } from "./dxfTags.ts";
import { fitSplineOutline } from "./fitSpline.ts";
import { nurbsEdges, nurbsFault, type Nurbs } from "./nurbs.ts";
import { circleOutline, compose, ellipseEdges, isFiniteOutline, mapOutline, type Matrix, type Outline } from "./outline.ts";

interface Drawn {
  readonly outlines: Outline[];
  readonly filled: boolean;
  readonly note?: string;
}

/** An entity's lines through `map`. Kinds that Kerfmark does not read, and broken data, give a note and no lines. */
export function drawEntity(entity: Entity, map: Matrix): Drawn {
  const shape = shapeOf(entity);
  if (typeof shape === "string") return { outlines: [], filled: false, note: shape };
  const turned = num(entity, 230, 1) < 0 && IN_OBJECT_FRAME.has(entity.type) ? compose(map, [-1, 0, 0, 1, 0, 0]) : map;
  const outlines = shape.map((o) => mapOutline(o, turned));
  if (!outlines.every((o) => isFiniteOutline(o, FARTHEST))) return { outlines: [], filled: false, note: `A ${entity.type} with numbers that are missing, not finite or farther than ${FARTHEST} mm was left out.` };
  const note = entity.type === "SPLINE" && !tangentsOf(entity) && !has(entity, 10) ? OPEN_ENDS : undefined;
  return { outlines, filled: entity.type === "SOLID" || entity.type === "TRACE", ...(note && { note }) };
}

/** Entities given in the frame of their extrusion direction, which mirrors x where it points down (DXF reference, arbitrary axis algorithm). */
const IN_OBJECT_FRAME = new Set(["ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "SOLID", "TRACE"]);

function shapeOf(e: Entity): Outline[] | string {
  const rad = Math.PI / 180;
  const [x, y, r] = [num(e, 10), num(e, 20), num(e, 40)];
  if (e.type === "LINE") return [{ x, y, edges: [[num(e, 11), num(e, 21)]], closed: false }];
  if (e.type === "CIRCLE") return [circleOutline(x, y, r)];
  if (e.type === "ARC") {
    const from = num(e, 50) * rad;
    return [{ x: x + r * Math.cos(from), y: y + r * Math.sin(from), edges: ellipseEdges([x, y], [r, 0], [0, r], from, ccw(from, num(e, 51) * rad)), closed: false }];
  }
  if (e.type === "ELLIPSE") return [ellipse(e)];
  if (e.type === "LWPOLYLINE") return polyline(lightVertices(e), (num(e, 70) & 1) === 1);
  if (e.type === "POLYLINE") {
    if (num(e, 70) & (16 | 64)) return "A mesh was left out: Kerfmark reads flat lines.";
    // 16 marks the control frame of a spline-fit polyline, which is not drawn.
    const points = e.vertices.filter((v) => !(num(v, 70) & 16)).map((v) => [num(v, 10, NaN), num(v, 20, NaN), num(v, 42)]);
    return polyline(points, (num(e, 70) & 1) === 1);
  }
  if (e.type === "SPLINE") return spline(e);
  if (e.type === "SOLID" || e.type === "TRACE") {
    return [{ x, y, edges: [[num(e, 11), num(e, 21)], [num(e, 13), num(e, 23)], [num(e, 12), num(e, 22)]], closed: true }];
  }
  return `${e.type.slice(0, 40)} is a kind of object that Kerfmark does not read; it was left out.`;
}

/** The turn from one angle on to the next, counter-clockwise, in (0, 2 pi]. */
function ccw(from: number, to: number): number {
  const turn = (to - from) % (2 * Math.PI);
  return turn <= 1e-12 ? turn + 2 * Math.PI : turn;
}

function ellipse(e: Entity): Outline {
  const c: [number, number] = [num(e, 10), num(e, 20)];
  const p: [number, number] = [num(e, 11), num(e, 21)];
  const ratio = num(e, 40, 1) * (num(e, 230, 1) < 0 ? -1 : 1);
  const q: [number, number] = [-p[1] * ratio, p[0] * ratio];
  const from = num(e, 41, 0);
  const sweep = ccw(from, num(e, 42, 2 * Math.PI));
  const closed = sweep > 2 * Math.PI - 1e-9;
  const [u, v] = [Math.cos(from), Math.sin(from)];
  return { x: c[0] + p[0] * u + q[0] * v, y: c[1] + p[1] * u + q[1] * v, edges: ellipseEdges(c, p, q, from, sweep), closed };
}

function lightVertices(e: Entity): number[][] {
  const vertices: number[][] = [];
  for (const [i, code] of e.codes.entries()) {
    const value = e.values[i];
    const last = vertices[vertices.length - 1];
    if (code === 10) vertices.push([Number(value), NaN, 0]);
    else if (code === 20 && last) last[1] = Number(value);
    else if (code === 42 && last) last[2] = Number(value);
  }
  return vertices;
}

/** A polyline of [x, y, bulge]: a bulge is the tangent of a quarter of the arc's angle, counter-clockwise positive. */
function polyline(vertices: readonly number[][], closed: boolean): Outline[] {
  if (vertices.length < 2) return [];
  const edges: number[][] = [];
  const n = closed ? vertices.length : vertices.length - 1;
  for (let i = 0; i < n; i++) {
    const [x0, y0, bulge] = vertices[i];
    const [x1, y1] = vertices[(i + 1) % vertices.length];
    if (Math.abs(bulge) < 1e-9 || (x0 === x1 && y0 === y1)) {
      if (!(closed && i === n - 1)) edges.push([x1, y1]);
      continue;
    }
    // The centre lies off the chord's middle, to its left, by (1 - b^2) / 4b of the chord.
    const k = (1 - bulge * bulge) / (4 * bulge);
    const cx = (x0 + x1) / 2 - k * (y1 - y0);
    const cy = (y0 + y1) / 2 + k * (x1 - x0);
    const r = Math.hypot(x0 - cx, y0 - cy);
    const arc = ellipseEdges([cx, cy], [r, 0], [0, r], Math.atan2(y0 - cy, x0 - cx), 4 * Math.atan(bulge));
    arc[arc.length - 1].splice(4, 2, x1, y1);
    edges.push(...arc);
  }
  return [{ x: vertices[0][0], y: vertices[0][1], edges, closed }];
}

/** A spline by its fit points: groups 11 and 21, its end tangents 12, 22 and 13, 23. */
function fitted(e: Entity): Outline[] | string {
  const ys = all(e, 21);
  const points = all(e, 11).map((x, i): [number, number] => [x, ys[i] ?? NaN]);
  if (!points.flat().every(Number.isFinite)) return "A SPLINE with fit points that are not numbers was left out.";
  const outline = fitSplineOutline({ points, tangents: tangentsOf(e), closed: (num(e, 70) & 1) === 1 });
  return outline ? [outline] : "A SPLINE with too few points was left out.";
}

const OPEN_ENDS = "A SPLINE gives fit points without end tangents: at its ends it may run a little otherwise than in the program that drew it. Export it with control points where that matters.";

function tangentsOf(e: Entity): readonly [readonly [number, number], readonly [number, number]] | null {
  return has(e, 12) && has(e, 13) ? [[num(e, 12), num(e, 22)], [num(e, 13), num(e, 23)]] : null;
}

function spline(e: Entity): Outline[] | string {
  const [xs, ys, ws] = [all(e, 10), all(e, 20), all(e, 41)];
  if (xs.length === 0) return fitted(e);
  const points = xs.map((x, i): [number, number] => [x, ys[i] ?? NaN]);
  const curve: Nurbs = { degree: num(e, 71, 3), knots: all(e, 40), points, weights: ws.length > 0 ? ws : points.map(() => 1) };
  const fault = nurbsFault(curve) ?? (points.flat().every(Number.isFinite) ? null : "control points that are not numbers");
  if (fault) return `A SPLINE with ${fault} was left out.`;
  const { x, y, edges } = nurbsEdges(curve);
  const [ex, ey] = edges[edges.length - 1]?.slice(-2) ?? [x, y];
  return [{ x, y, edges, closed: Math.hypot(ex - x, ey - y) < 1e-9 }];
}
