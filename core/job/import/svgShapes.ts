import svgpath from "svgpath";
import { diagonalOf, userLength, type Viewport } from "./svgViewport.ts";
import { circleOutline, ellipseEdges, mapOutline, type Outline } from "./outline.ts";

type Attributes = Readonly<Record<string, string>>;

/**
 * The outlines of a basic shape or a path, user units, y down as in the file; null for any other element. Percentages are of the viewport. Broken data gives
 * non-finite points or none.
 */
export function shapeOutlines(name: string, a: Attributes, viewport: Viewport): Outline[] | null {
  const x = (key: string) => userLength(a[key], viewport.width);
  const y = (key: string) => userLength(a[key], viewport.height);
  const r = (key: string) => userLength(a[key], diagonalOf(viewport));
  if (name === "path") return pathOutlines(a.d ?? "");
  if (name === "line") return [{ x: x("x1"), y: y("y1"), edges: [[x("x2"), y("y2")]], closed: false }];
  if (name === "rect") return rect(x("x"), y("y"), x("width"), y("height"), radius(a.rx, viewport.width), radius(a.ry, viewport.height));
  if (name === "circle") return r("r") === 0 || r("r") < 0 ? [] : [circleOutline(x("cx"), y("cy"), r("r"))];
  if (name === "ellipse") {
    const [rx, ry] = [radius(a.rx, viewport.width), radius(a.ry, viewport.height)];
    const [p, q] = [rx ?? ry ?? 0, ry ?? rx ?? 0];
    return p === 0 || q === 0 ? [] : [mapOutline(circleOutline(0, 0, 1), [p, 0, 0, q, x("cx"), y("cy")])];
  }
  if (name === "polyline" || name === "polygon") {
    const numbers = (a.points ?? "").trim().split(/[\s,]+/).filter(Boolean).map(Number);
    if (numbers.length < 4) return [];
    const points = Array.from({ length: numbers.length >> 1 }, (_, i) => [numbers[2 * i], numbers[2 * i + 1]]);
    return [{ x: points[0][0], y: points[0][1], edges: points.slice(1), closed: name === "polygon" }];
  }
  return null;
}

/** A radius of a rectangle or an ellipse; null where it is to be as the other one, which it also is where it is negative (SVG 2, 10.2). */
function radius(text: string | undefined, whole: number): number | null {
  if (text === undefined || text.trim() === "auto") return null;
  const value = userLength(text, whole);
  return value < 0 ? null : value;
}

function rect(x: number, y: number, w: number, h: number, rxOwn: number | null, ryOwn: number | null): Outline[] {
  if (w <= 0 || h <= 0) return [];
  const rx = Math.min(w / 2, rxOwn ?? ryOwn ?? 0);
  const ry = Math.min(h / 2, ryOwn ?? rxOwn ?? 0);
  if (!(rx > 0 && ry > 0)) return [{ x, y, edges: [[x + w, y], [x + w, y + h], [x, y + h]], closed: true }];
  const corner = (cx: number, cy: number, from: number) => ellipseEdges([cx, cy], [rx, 0], [0, ry], from, Math.PI / 2);
  const q = Math.PI / 2;
  return [{
    x: x + rx,
    y,
    edges: [[x + w - rx, y], ...corner(x + w - rx, y + ry, -q), [x + w, y + h - ry], ...corner(x + w - rx, y + h - ry, 0), [x + rx, y + h], ...corner(x + rx, y + h - ry, q), [x, y + ry], ...corner(x + rx, y + ry, 2 * q)],
    closed: true,
  }];
}

/** SVG path data as outlines in its own frame. What follows a fault in the data is not drawn, as in SVG itself. */
export function pathOutlines(d: string): Outline[] {
  const { segments } = svgpath(d).abs().unshort() as unknown as { readonly segments: ReadonlyArray<readonly [string, ...number[]]> };
  const outlines: Outline[] = [];
  let edges: number[][] = [];
  let [sx, sy, x, y] = [0, 0, 0, 0];
  const finish = (closed: boolean) => {
    if (edges.length > 0) outlines.push({ x: sx, y: sy, edges, closed });
    edges = [];
  };
  for (const [command, ...v] of segments) {
    if (command === "M") {
      finish(false);
      [sx, sy] = [v[0], v[1]];
    } else if (command === "Z") {
      finish(true);
    } else if (command === "A") {
      edges.push(...arcEdges(x, y, v));
    } else if (command === "Q") {
      edges.push([x + (2 * (v[0] - x)) / 3, y + (2 * (v[1] - y)) / 3, v[2] + (2 * (v[0] - v[2])) / 3, v[3] + (2 * (v[1] - v[3])) / 3, v[2], v[3]]);
    } else {
      edges.push(command === "H" ? [v[0], y] : command === "V" ? [x, v[0]] : v);
    }
    [x, y] = command === "Z" || command === "M" ? [sx, sy] : [edges[edges.length - 1]?.at(-2) ?? x, edges[edges.length - 1]?.at(-1) ?? y];
  }
  finish(false);
  return outlines;
}

/** An elliptical arc's edges: the centre form of SVG 1.1, appendix F.6. */
function arcEdges(x0: number, y0: number, [rx, ry, degrees, large, sweep, x, y]: number[]): number[][] {
  let [a, b] = [Math.abs(rx), Math.abs(ry)];
  if (x0 === x && y0 === y) return [];
  if (a === 0 || b === 0) return [[x, y]];
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const hx = (cos * (x0 - x) + sin * (y0 - y)) / 2;
  const hy = (cos * (y0 - y) - sin * (x0 - x)) / 2;
  const excess = (hx / a) ** 2 + (hy / b) ** 2;
  if (excess > 1) [a, b] = [a * Math.sqrt(excess), b * Math.sqrt(excess)];
  const root = excess >= 1 ? 0 : Math.sqrt(1 / excess - 1) * (large === sweep ? -1 : 1);
  const [ux, uy] = [(root * a * hy) / b, (-root * b * hx) / a];
  const from = Math.atan2((hy - uy) / b, (hx - ux) / a);
  let turn = Math.atan2((-hy - uy) / b, (-hx - ux) / a) - from;
  if (sweep && turn < 0) turn += 2 * Math.PI;
  if (!sweep && turn > 0) turn -= 2 * Math.PI;
  const edges = ellipseEdges([cos * ux - sin * uy + (x0 + x) / 2, sin * ux + cos * uy + (y0 + y) / 2], [a * cos, a * sin], [-b * sin, b * cos], from, turn);
  edges[edges.length - 1].splice(4, 2, x, y);
  return edges;
}
