/** An upright rectangle, mm. */
export interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** The box of some points, grown on all sides by a share of its size. */
export function boxAround(xs: Float64Array, ys: Float64Array, share = 0): Box {
  let x0 = Infinity, y0 = Infinity, x1 = -Infinity, y1 = -Infinity;
  for (let i = 0; i < xs.length; i++) {
    if (xs[i] < x0) x0 = xs[i];
    if (xs[i] > x1) x1 = xs[i];
    if (ys[i] < y0) y0 = ys[i];
    if (ys[i] > y1) y1 = ys[i];
  }
  const [gx, gy] = [share * (x1 - x0), share * (y1 - y0)];
  return { x0: x0 - gx, y0: y0 - gy, x1: x1 + gx, y1: y1 + gy };
}

/** The box shifted by (dx, dy). */
export function moved(box: Box, dx: number, dy: number): Box {
  return { x0: box.x0 + dx, y0: box.y0 + dy, x1: box.x1 + dx, y1: box.y1 + dy };
}
