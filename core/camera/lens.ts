/**
 * Radial and tangential lens distortion after Brown (1971) and Conrady, in the order and signs used by OpenCV:
 * with x' = (x - cx)/fx, y' = (y - cy)/fy the ideal (pinhole) direction and r^2 = x'^2 + y'^2,
 *
 *   x'' = x' (1 + k1 r^2 + k2 r^4 + k3 r^6) + 2 p1 x' y' + p2 (r^2 + 2 x'^2)
 *   y'' = y' (1 + k1 r^2 + k2 r^4 + k3 r^6) + p1 (r^2 + 2 y'^2) + 2 p2 x' y'
 */
export interface Lens {
  /** Focal lengths and principal point, picture pixels. */
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly k1: number;
  readonly k2: number;
  readonly p1: number;
  readonly p2: number;
  readonly k3: number;
}
