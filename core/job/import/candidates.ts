import Flatbush from "flatbush";
import { signedArea } from "../paths.ts";
import { toneOfLayer } from "../layerNames.ts";
import type { UnnamedMark } from "../schema.ts";
import type { Drawing, DrawnOutline } from "./drawing.ts";
import { bounds, flattenOutline, type Outline } from "./outline.ts";

/** Marks are looked for between these sizes, mm. */
const SMALLEST = 1.5;
const LARGEST = 30;
/** Outlines of one mark lie nearer than this, mm. */
const TOUCHING = 0.01;

/** The circle that an outline is, to 1 % of its radius; null where it is none. Centre and diameter, mm. */
export function circleOf(o: Outline): { x: number; y: number; diameter: number } | null {
  const curved = o.edges.filter((e) => e.length === 6).length;
  if (curved < 2) return null;
  const path = flattenOutline({ ...o, closed: true }, 0.002);
  if (!path) return null;
  const xs = path.points.map((p) => p.x);
  const ys = path.points.map((p) => p.y);
  const [left, right, low, high] = [least(xs), most(xs), least(ys), most(ys)];
  const x = (left + right) / 2;
  const y = (low + high) / 2;
  const r = (right - left + high - low) / 4;
  const round = r > 0 && path.points.every((p) => Math.abs(Math.hypot(p.x - x, p.y - y) - r) < Math.max(0.01 * r, 1e-6)) && Math.abs(path.length / (2 * Math.PI * r) - 1) < 0.02;
  return round ? { x, y, diameter: 2 * r } : null;
}

function least(v: readonly number[]): number {
  return v.reduce((a, b) => Math.min(a, b), Infinity);
}

function most(v: readonly number[]): number {
  return v.reduce((a, b) => Math.max(a, b), -Infinity);
}

/** A mark with what draws it. */
export interface MarkCandidate {
  readonly mark: UnnamedMark;
  readonly group: number;
  /** Places of its outlines in the drawing's list. */
  readonly outlines: readonly number[];
}

/**
 * Marks in the groups that are wanted: discs, rings, squares, crosses and checkers by their shape and size. They are for a person to confirm. They are what is filled as one;
 * in a format without fills (DXF) what lies together in one group is one thing.
 */
export function findMarks(drawing: Pick<Drawing, "groups" | "outlines" | "unfilled">, wanted: (group: number) => boolean = () => true): MarkCandidate[] {
  const places = new Set<string>();
  return (drawing.unfilled ? lyingTogether(drawing.outlines, wanted) : objects(drawing.outlines, wanted)).flatMap((outlines): MarkCandidate[] => {
    const shape = markOf(outlines.map((i) => drawing.outlines[i].outline));
    const { group } = drawing.outlines[outlines[0]];
    const tone = toneOfLayer(drawing.groups[group].name);
    if (!shape || (tone === "dark" && shape.tone === "light")) return [];
    const place = `${Math.round(50 * shape.x)},${Math.round(50 * shape.y)}`;
    if (places.has(place)) return [];
    places.add(place);
    return [{ mark: tone ? { ...shape, tone } : shape, group, outlines }];
  });
}

/** Outlines filled as one. */
function objects(outlines: readonly DrawnOutline[], wanted: (group: number) => boolean): number[][] {
  const all = new Map<number, number[]>();
  outlines.forEach((o, i) => {
    if (!o.filled || !wanted(o.group)) return;
    const parts = all.get(o.object);
    if (parts) parts.push(i);
    else all.set(o.object, [i]);
  });
  return [...all.values()];
}

/** Closed outlines of one group, none larger than a mark, whose boxes meet, as the two circles of a ring or the two quarters of a checker. */
function lyingTogether(outlines: readonly DrawnOutline[], wanted: (group: number) => boolean): number[][] {
  const closed = outlines.flatMap((o, i) => (o.outline.closed && wanted(o.group) ? [{ i, group: o.group, box: bounds([o.outline]) }] : []))
    .filter(({ box: [l, b, r, t] }) => Math.max(r - l, t - b) <= LARGEST * Math.SQRT2);
  if (closed.length === 0) return [];
  const index = new Flatbush(closed.length);
  for (const { box } of closed) index.add(...box);
  index.finish();
  const taken = new Array<boolean>(closed.length).fill(false);
  return closed.flatMap((first, start): number[][] => {
    if (taken[start]) return [];
    const together = [start];
    taken[start] = true;
    for (let k = 0; k < together.length; k++) {
      const [l, b, r, t] = closed[together[k]].box;
      for (const j of index.search(l - TOUCHING, b - TOUCHING, r + TOUCHING, t + TOUCHING, (n) => !taken[n] && closed[n].group === first.group)) {
        taken[j] = true;
        together.push(j);
      }
    }
    return [together.map((k) => closed[k].i)];
  });
}

function markOf(parts: readonly Outline[]): UnnamedMark | null {
  const [left, bottom, right, top] = bounds(parts);
  const across = Math.max(right - left, top - bottom);
  if (across < SMALLEST || across > LARGEST * Math.SQRT2) return null;
  if (parts.length === 2) return ringOf(parts) ?? checkerOf(parts);
  if (parts.length !== 1) return null;
  const [outline] = parts;
  const circle = circleOf(outline);
  if (circle) return { shape: "dot", ...circle };
  if (outline.edges.some((e) => e.length === 6)) return null;
  const points = flattenOutline({ ...outline, closed: true })?.points ?? [];
  return points.length === 12 ? crossOf(points) : points.length === 4 ? squareOf(points) : null;
}

function ringOf(parts: readonly Outline[]): UnnamedMark | null {
  const [a, b] = parts.map(circleOf).sort((p, q) => (q?.diameter ?? 0) - (p?.diameter ?? 0));
  return a && b && Math.hypot(a.x - b.x, a.y - b.y) < 0.05 && b.diameter < a.diameter ? { shape: "ring", x: a.x, y: a.y, outer: a.diameter, inner: b.diameter } : null;
}

/** Two quarters of a disc that meet in its centre: upper right and lower left, or the other two, which are those of light ink. */
function checkerOf(parts: readonly Outline[]): UnnamedMark | null {
  const [p, q] = parts.map((o) => ({ box: bounds([o]), path: flattenOutline({ ...o, closed: true }, 0.002) })).sort((a, b) => b.box[0] - a.box[0]);
  if (!p.path || !q.path) return null;
  const [upper, lower] = p.box[1] > q.box[1] ? [p.box, q.box] : [q.box, p.box];
  const [x, y] = [(p.box[0] + q.box[2]) / 2, (upper[1] + lower[3]) / 2];
  const r = (p.box[2] - q.box[0] + upper[3] - lower[1]) / 4;
  const near = (v: number, w: number) => Math.abs(v - w) < 0.01 * r;
  const meets = near(p.box[0], q.box[2]) && near(upper[1], lower[3]) && near(p.box[2], x + r) && near(upper[3], y + r) && near(q.box[0], x - r) && near(lower[1], y - r);
  const quarters = [p.path, q.path].every((path) => path.points.every((v) => Math.hypot(v.x - x, v.y - y) < 1.01 * r) && Math.abs(Math.abs(signedArea({ ...path, closed: true })) / ((Math.PI * r * r) / 4) - 1) < 0.02);
  return meets && quarters ? { shape: "checker", x, y, diameter: 2 * r, ...(upper === p.box ? {} : { tone: "light" }) } : null;
}

type Point = { readonly x: number; readonly y: number };

function squareOf(points: readonly Point[]): UnnamedMark | null {
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
  const [left, right, bottom, top] = [least(xs), most(xs), least(ys), most(ys)];
  const across = Math.max(right - left, top - bottom);
  const near = (v: number, w: number) => Math.abs(v - w) < 0.01 * across;
  const corner = (p: Point) => (near(p.x, left) || near(p.x, right)) && (near(p.y, bottom) || near(p.y, top));
  const square = across <= LARGEST && Math.abs(right - left - (top - bottom)) <= 0.02 * across && points.every(corner);
  return square ? { shape: "square", x: (left + right) / 2, y: (bottom + top) / 2, size: across } : null;
}

/** A plus sign of twelve corners, however it is turned: the two outer corners of an arm are the ends of its short side. */
function crossOf(points: readonly Point[]): UnnamedMark | null {
  const x = points.reduce((s, p) => s + p.x, 0) / 12;
  const y = points.reduce((s, p) => s + p.y, 0) / 12;
  const far = points.map((p) => Math.hypot(p.x - x, p.y - y));
  const middle = (least(far) + most(far)) / 2;
  // Directions of the arms, four times over so that they agree; a quarter turn is no turn.
  let [c, s] = [0, 0];
  points.forEach((p, i) => {
    const q = points[(i + 1) % 12];
    if (far[i] < middle || far[(i + 1) % 12] < middle) return;
    const angle = 4 * Math.atan2((p.y + q.y) / 2 - y, (p.x + q.x) / 2 - x);
    c += Math.cos(angle);
    s += Math.sin(angle);
  });
  const turn = Math.atan2(s, c) / 4;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const upright = points.map((p) => ({ x: cos * (p.x - x) + sin * (p.y - y), y: cos * (p.y - y) - sin * (p.x - x) }));
  const size = 2 * most(upright.flatMap((p) => [Math.abs(p.x), Math.abs(p.y)]));
  const arms = upright.map((p) => Math.min(Math.abs(p.x), Math.abs(p.y)));
  const stroke = 2 * (arms.reduce((sum, v) => sum + v, 0) / 12);
  const reaches = upright.filter((p) => Math.abs(Math.max(Math.abs(p.x), Math.abs(p.y)) - size / 2) < 0.02 * size).length === 8;
  if (!(size <= LARGEST && stroke < size / 2 && reaches && arms.every((v) => Math.abs(v - stroke / 2) < 0.02 * size))) return null;
  const degrees = (turn * 180) / Math.PI;
  return { shape: "cross", x, y, size, stroke, ...(Math.abs(degrees) > 0.005 ? { angle: degrees } : {}) };
}
