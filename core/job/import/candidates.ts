import type { Mark } from "../schema.ts";
import type { DrawnOutline } from "./drawing.ts";
import { bounds, flattenOutline, type Outline } from "./outline.ts";

/** A mark without its id, as read off a drawing. */
export type FoundMark = DistributeId<Mark>;
type DistributeId<T> = T extends Mark ? Omit<T, "id"> : never;

/** Marks are looked for between these sizes, mm. */
const SMALLEST = 1.5;
const LARGEST = 30;

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

/** Marks among the outlines: discs, rings, squares and crosses by their shape and size. They are for a person to confirm. */
export function findMarks(outlines: readonly DrawnOutline[]): FoundMark[] {
  const objects = new Map<number, DrawnOutline[]>();
  for (const o of outlines) objects.set(o.object, [...(objects.get(o.object) ?? []), o]);
  const found: FoundMark[] = [];
  for (const parts of objects.values()) {
    const mark = markOf(parts);
    if (mark && !found.some((f) => Math.hypot(f.x - mark.x, f.y - mark.y) < 0.01)) found.push(mark);
  }
  return found;
}

function markOf(parts: readonly DrawnOutline[]): FoundMark | null {
  const [left, bottom, right, top] = bounds(parts.map((p) => p.outline));
  const across = Math.max(right - left, top - bottom);
  if (!parts[0].filled || across < SMALLEST || across > LARGEST) return null;
  if (parts.length === 2) {
    const [a, b] = parts.map((p) => circleOf(p.outline)).sort((p, q) => (q?.diameter ?? 0) - (p?.diameter ?? 0));
    return a && b && Math.hypot(a.x - b.x, a.y - b.y) < 0.05 ? { shape: "ring", x: a.x, y: a.y, outer: a.diameter, inner: b.diameter } : null;
  }
  if (parts.length !== 1) return null;
  const [{ outline }] = parts;
  const circle = circleOf(outline);
  if (circle) return { shape: "dot", ...circle };
  const x = (left + right) / 2;
  const y = (bottom + top) / 2;
  const path = flattenOutline({ ...outline, closed: true });
  const points = path?.points ?? [];
  if (outline.edges.some((e) => e.length === 6) || Math.abs(right - left - (top - bottom)) > 0.02 * across) return null;
  const corner = (p: { x: number; y: number }) => Math.min(Math.abs(p.x - left), Math.abs(p.x - right)) < 0.01 * across && Math.min(Math.abs(p.y - bottom), Math.abs(p.y - top)) < 0.01 * across;
  if (points.length === 4 && points.every(corner)) return { shape: "square", x, y, size: across };
  if (points.length !== 12) return null;
  const arms = points.map((p) => Math.min(Math.abs(p.x - x), Math.abs(p.y - y)));
  const stroke = 2 * (arms.reduce((sum, v) => sum + v, 0) / 12);
  return stroke < across / 2 && arms.every((v) => Math.abs(v - stroke / 2) < 0.02 * across) ? { shape: "cross", x, y, size: across, stroke } : null;
}
