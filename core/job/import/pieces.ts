import Flatbush from "flatbush";
import { boxOf, encloses, type Box } from "../../geometry/polygon.ts";
import { signedArea, type Subpath } from "../paths.ts";

interface Named {
  readonly name: string;
}

/**
 * Names for outlines by the piece that they belong to: copies of one piece are "piece 1", "piece 2" ..., each with its outer edge, its holes and its creases; a
 * line in no piece is "cut 1" or "crease 1". Where copies of different pieces lie on one sheet, each kind has a letter: "piece A 1", "piece B 1".
 */
export function nameOutlines(paths: ReadonlyArray<Subpath & { readonly kind: "cut" | "crease" }>, piece = "piece"): Named[] {
  const boxes = paths.map((p) => boxOf(p.points));
  const rings = paths.flatMap((p, i) => (p.kind === "cut" && p.closed ? [i] : []));
  const around = enclosing(boxes, rings);
  const isOuter = new Set(rings.filter((i) => !around(i).some((j) => holds(boxes[j], boxes[i]) && encloses(paths[j].points, paths[i].points[0]))));
  const pieces = [...isOuter];
  // Pieces are counted in rows from the upper left, as people read.
  pieces.sort((a, b) => (Math.abs(boxes[a][3] - boxes[b][3]) > 5 ? boxes[b][3] - boxes[a][3] : boxes[a][0] - boxes[b][0]));
  const called = new Map(copyNames(pieces.map((i) => paths[i]), piece).map((name, n) => [pieces[n], name]));
  const count = new Map<string, number>();
  return paths.map((p, i) => {
    const own = called.get(i);
    if (own !== undefined) return { name: `${own}, outer edge` };
    const home = around(i).find((j) => isOuter.has(j) && holds(boxes[j], boxes[i]) && encloses(paths[j].points, middle(p)));
    const owner = home === undefined ? undefined : called.get(home);
    const what = p.kind === "crease" ? "crease" : p.closed ? "hole" : "cut";
    const within = owner === undefined ? what : `${owner}, ${what}`;
    const n = (count.get(within) ?? 0) + 1;
    count.set(within, n);
    return { name: `${within} ${n}` };
  });
}

/** Pieces in reading order as people call them: counted through, or kind by kind where some are copies and some are not. */
function copyNames(outlines: readonly Subpath[], piece: string): string[] {
  const kinds = copiesOf(outlines);
  const total = kinds.reduce((most, k) => Math.max(most, k + 1), 0);
  if (total === 1 || total === outlines.length) return outlines.map((_, n) => `${piece} ${n + 1}`);
  const count = new Array<number>(total).fill(0);
  return kinds.map((k) => `${piece} ${letters(k)} ${++count[k]}`);
}

/** A, B ... Z, AA, AB ... */
function letters(k: number): string {
  return (k >= 26 ? letters(Math.floor(k / 26) - 1) : "") + String.fromCharCode(65 + (k % 26));
}

/** Lengths and areas that differ by more than this share are of different pieces. */
const ALIKE = 5e-4;

/**
 * Which closed outlines are copies of one another, however turned or mirrored: the same number for the same piece, counted in the order in which they first come. Told
 * by length and enclosed area, which no move changes.
 */
export function copiesOf(paths: readonly Subpath[]): number[] {
  const kinds: Array<{ length: number; area: number }> = [];
  return paths.map((p) => {
    const own = { length: p.length, area: Math.abs(signedArea(p)) };
    const alike = (a: number, b: number) => Math.abs(a - b) <= ALIKE * Math.max(a, b);
    const known = kinds.findIndex((k) => alike(k.length, own.length) && alike(k.area, own.area));
    return known >= 0 ? known : kinds.push(own) - 1;
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

function holds(a: Box, b: Box): boolean {
  return a[0] <= b[0] + 0.01 && a[1] <= b[1] + 0.01 && a[2] >= b[2] - 0.01 && a[3] >= b[3] - 0.01;
}

function middle(p: Subpath): { x: number; y: number } {
  const i = (p.points.length - 1) >> 1;
  const a = p.points[i];
  const b = p.points[i + 1] ?? a;
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}
