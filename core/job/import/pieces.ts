import Flatbush from "flatbush";
import type { Subpath } from "../paths.ts";

interface Named {
  readonly name: string;
}

/**
 * Names for outlines by the piece that they belong to: copies of one piece are "piece 1", "piece 2" ..., each with its
 * outer edge, its holes and its creases; a line in no piece is "cut 1" or "crease 1".
 */
export function nameOutlines(paths: ReadonlyArray<Subpath & { readonly kind: "cut" | "crease" }>, piece = "piece"): Named[] {
  const boxes = paths.map((p) => boxOf(p));
  const rings = paths.flatMap((p, i) => (p.kind === "cut" && p.closed ? [i] : []));
  const around = enclosing(boxes, rings);
  const isOuter = new Set(rings.filter((i) => !around(i).some((j) => holds(boxes[j], boxes[i]) && contains(paths[j], paths[i].points[0]))));
  const pieces = [...isOuter];
  // Pieces are counted in rows from the upper left, as people read.
  pieces.sort((a, b) => (Math.abs(boxes[a][3] - boxes[b][3]) > 5 ? boxes[b][3] - boxes[a][3] : boxes[a][0] - boxes[b][0]));
  const place = new Map(pieces.map((i, n) => [i, n]));
  const count = new Map<string, number>();
  return paths.map((p, i) => {
    if (isOuter.has(i)) return { name: `${piece} ${(place.get(i) ?? 0) + 1}, outer edge` };
    const home = around(i).find((j) => isOuter.has(j) && holds(boxes[j], boxes[i]) && contains(paths[j], middle(p)));
    const at = home === undefined ? -1 : (place.get(home) ?? -1);
    const what = p.kind === "crease" ? "crease" : p.closed ? "hole" : "cut";
    const within = at >= 0 ? `${piece} ${at + 1}, ${what}` : what;
    const n = (count.get(within) ?? 0) + 1;
    count.set(within, n);
    return { name: `${within} ${n}` };
  });
}

/** Which closed outlines are copies of one another: the same number for the same piece, by its size and length to 0.05 mm. */
export function copiesOf(paths: readonly Subpath[]): number[] {
  const kinds = new Map<string, number>();
  return paths.map((p) => {
    const [l, b, r, t] = boxOf(p);
    const key = [r - l, t - b].sort((x, y) => x - y).concat(p.length).map((v) => Math.round(v / 0.1)).join(",");
    const known = kinds.get(key) ?? kinds.size;
    kinds.set(key, known);
    return known;
  });
}

/** A search for the rings, other than itself, whose boxes meet a path's box. */
function enclosing(boxes: readonly Box[], rings: readonly number[]): (i: number) => number[] {
  if (rings.length === 0) return () => [];
  const index = new Flatbush(rings.length);
  for (const r of rings) index.add(...boxes[r]);
  index.finish();
  return (i) => {
    const [x, y] = boxes[i];
    return index.search(x, y, x, y).map((n) => rings[n]).filter((j) => j !== i);
  };
}

type Box = readonly [number, number, number, number];

function boxOf(p: Subpath): Box {
  return p.points.reduce<Box>(([l, b, r, t], q) => [Math.min(l, q.x), Math.min(b, q.y), Math.max(r, q.x), Math.max(t, q.y)], [Infinity, Infinity, -Infinity, -Infinity]);
}

function holds(a: Box, b: Box): boolean {
  return a[0] <= b[0] + 0.01 && a[1] <= b[1] + 0.01 && a[2] >= b[2] - 0.01 && a[3] >= b[3] - 0.01;
}

function middle(p: Subpath): { x: number; y: number } {
  const i = (p.points.length - 1) >> 1;
  const a = p.points[i];
  const b = p.points[i + 1] ?? a;
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

/** Even-odd rule. */
function contains({ points }: Subpath, at: { readonly x: number; readonly y: number }): boolean {
  let odd = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [a, b] = [points[i], points[j]];
    if (a.y > at.y !== b.y > at.y && at.x < ((b.x - a.x) * (at.y - a.y)) / (b.y - a.y) + a.x) odd = !odd;
  }
  return odd;
}
