/**
 * How one layer (the print, or the cut) lies on the board: nominal coordinates (print frame, mm) to board coordinates
 * (mm, the material's own frame: x right, y up facing the printed side). Signs and units as for T in the record:
 * offset mm at the centre; rotation, skew, scale mm/m.
 */
export interface LayerMap {
  readonly centre: { readonly x: number; readonly y: number };
  readonly offset: { readonly x: number; readonly y: number };
  readonly rotation: number;
  readonly skew: number;
  readonly scale: { readonly x: number; readonly y: number };
  /** Perspective terms, 1/mm: a feed that tapers. */
  readonly taper?: { readonly x: number; readonly y: number };
  /** Curvature, 1/mm: x gains bow.x * dy^2, y gains bow.y * dx^2 (a sheet that bows in the feed). */
  readonly bow?: { readonly x: number; readonly y: number };
}

/** The layer map that moves nothing. */
export function exact(centre: { readonly x: number; readonly y: number }): LayerMap {
  return { centre, offset: { x: 0, y: 0 }, rotation: 0, skew: 0, scale: { x: 0, y: 0 } };
}

/** Linear part [a, b, c, d] of a map at its centre: the columns are the turned, stretched and leaning axes. */
function linearPart(map: LayerMap): readonly [number, number, number, number] {
  const turn = map.rotation / 1000;
  const lean = turn + Math.PI / 2 - map.skew / 1000;
  const sx = 1 + map.scale.x / 1000;
  const sy = 1 + map.scale.y / 1000;
  return [sx * Math.cos(turn), sy * Math.cos(lean), sx * Math.sin(turn), sy * Math.sin(lean)];
}

/** Nominal to board. */
export function forward(map: LayerMap, x: number, y: number): { x: number; y: number } {
  const [a, b, c, d] = linearPart(map);
  const u = x - map.centre.x;
  const v = y - map.centre.y;
  const w = 1 + (map.taper?.x ?? 0) * u + (map.taper?.y ?? 0) * v;
  return {
    x: map.centre.x + map.offset.x + (a * u + b * v + (map.bow?.x ?? 0) * v * v) / w,
    y: map.centre.y + map.offset.y + (c * u + d * v + (map.bow?.y ?? 0) * u * u) / w,
  };
}

/** Derivative of `forward`: [dX/dx, dX/dy, dY/dx, dY/dy]. */
export function derivative(map: LayerMap, x: number, y: number): readonly [number, number, number, number] {
  const [a, b, c, d] = linearPart(map);
  const u = x - map.centre.x;
  const v = y - map.centre.y;
  const tx = map.taper?.x ?? 0;
  const ty = map.taper?.y ?? 0;
  const bx = map.bow?.x ?? 0;
  const by = map.bow?.y ?? 0;
  const w = 1 + tx * u + ty * v;
  const X = (a * u + b * v + bx * v * v) / w;
  const Y = (c * u + d * v + by * u * u) / w;
  return [(a - X * tx) / w, (b + 2 * bx * v - X * ty) / w, (c + 2 * by * u - Y * tx) / w, (d - Y * ty) / w];
}

/** Board to nominal, by Newton's method from the linear part: the terms beyond it are small, three steps reach rounding. */
export function inverse(map: LayerMap, X: number, Y: number): { x: number; y: number } {
  const [a, b, c, d] = linearPart(map);
  const det = a * d - b * c;
  const u = X - map.centre.x - map.offset.x;
  const v = Y - map.centre.y - map.offset.y;
  let x = map.centre.x + (d * u - b * v) / det;
  let y = map.centre.y + (a * v - c * u) / det;
  if (!map.taper && !map.bow) return { x, y };
  for (let i = 0; i < 4; i++) {
    const at = forward(map, x, y);
    const [p, q, r, s] = derivative(map, x, y);
    const k = p * s - q * r;
    x += (s * (X - at.x) - q * (Y - at.y)) / k;
    y += (p * (Y - at.y) - r * (X - at.x)) / k;
  }
  return { x, y };
}
