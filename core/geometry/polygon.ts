/** A place of a polygon, in any one frame. */
interface Place {
  readonly x: number;
  readonly y: number;
}

/** An upright rectangle: left, bottom, right, top. */
export type Box = readonly [number, number, number, number];

/** The least box that holds all of the points. */
export function boxOf(points: readonly Place[]): Box {
  let [l, b, r, t] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of points) {
    if (x < l) l = x;
    if (y < b) b = y;
    if (x > r) r = x;
    if (y > t) t = y;
  }
  return [l, b, r, t];
}

/** Whether a point lies inside a polygon (even-odd rule). */
export function encloses(polygon: readonly Place[], p: Place): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [a, b] = [polygon[i], polygon[j]];
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}

/** Distance of a point from the line between two others; where they are one point, from that. */
export function distanceToSegment(p: Place, a: Place, b: Place): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const t = Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}
