import type { PicturePoint } from "../geometry/frames.ts";

/**
 * What one flatbed unit does to a true square grid, over one scanned area. With a = (x - cx)/h and b = (y - cy)/h for a seen picture
 * point (cx, cy the middle of the area, h half its longer side, px), the point lies on the glass, mm from the middle, at
 *
 *   X = x' / pxPerMm.x + squareness/1000 * y' / pxPerMm.y,   Y = y' / pxPerMm.y
 *   x' = x - cx - bow.x b^2 - run.x a^2,                      y' = y - cy - bow.y a^2 - run.y b^2
 *
 * x runs along the sensor, y along the carriage's travel, both as the picture has them (y down).
 */
export interface Scanner {
  readonly width: number;
  readonly height: number;
  readonly pxPerMm: { readonly x: number; readonly y: number };
  /** mm/m: how far the travel leans from square to the sensor (+: towards +x going down the picture). */
  readonly squareness: number;
  /** Bow of the travel (x) and of the sensor (y), px at the end of the longer side. */
  readonly bow: { readonly x: number; readonly y: number };
  /** Change of scale along the sensor (x) and the travel (y), px at the end of the longer side. */
  readonly run: { readonly x: number; readonly y: number };
}

/** The parameters of a scanner in the order of its covariance. */
export const SCANNER_PARAMETERS = ["pxPerMm.x", "pxPerMm.y", "squareness", "bow.x", "bow.y", "run.x", "run.y"] as const;

/** Where a seen picture point lies on the glass: mm from the middle of the scanned area, x right, y down. */
export function onGlass(scanner: Scanner, q: PicturePoint): { x: number; y: number } {
  const p = straight(scanner, q.x, q.y);
  const y = p.y / scanner.pxPerMm.y;
  return { x: p.x / scanner.pxPerMm.x + (scanner.squareness / 1000) * y, y };
}

/**
 * The picture point where a scanner without faults would show what is seen at `q`: square pixels of the mean scale,
 * the middle unmoved. Measuring in such points needs no further scanner terms.
 */
export function straighten(scanner: Scanner, q: PicturePoint): PicturePoint {
  const glass = onGlass(scanner, q);
  const scale = meanScale(scanner);
  return { x: (scanner.width - 1) / 2 + scale * glass.x, y: (scanner.height - 1) / 2 + scale * glass.y };
}

/** The inverse of `straighten`, to rounding (fixed-point iteration: the terms are a few px over thousands). */
export function unstraighten(scanner: Scanner, p: PicturePoint): PicturePoint {
  const scale = meanScale(scanner);
  const gy = (p.y - (scanner.height - 1) / 2) / scale;
  const gx = (p.x - (scanner.width - 1) / 2) / scale - (scanner.squareness / 1000) * gy;
  const wanted = { x: gx * scanner.pxPerMm.x, y: gy * scanner.pxPerMm.y };
  let x = wanted.x + (scanner.width - 1) / 2;
  let y = wanted.y + (scanner.height - 1) / 2;
  for (let i = 0; i < 50; i++) {
    const now = straight(scanner, x, y);
    const [dx, dy] = [wanted.x - now.x, wanted.y - now.y];
    x += dx;
    y += dy;
    if (Math.abs(dx) + Math.abs(dy) < 1e-10) break;
  }
  return { x, y };
}

/** Pixels per mm of the straightened picture. */
export function meanScale(scanner: Scanner): number {
  return Math.sqrt(scanner.pxPerMm.x * scanner.pxPerMm.y);
}

function straight({ width, height, bow, run }: Scanner, x: number, y: number): { x: number; y: number } {
  const half = Math.max(width, height) / 2;
  const dx = x - (width - 1) / 2;
  const dy = y - (height - 1) / 2;
  const a = dx / half;
  const b = dy / half;
  return { x: dx - bow.x * b * b - run.x * a * a, y: dy - bow.y * a * a - run.y * b * b };
}
