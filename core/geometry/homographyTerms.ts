/**
 * Derivatives of a picture point by the eight terms of the homography that it is seen through,
 *
 *   w = 1 + gX + hY,  u = (aX + bY + c)/w,  v = (dX + eY + f)/w,
 *
 * where (u, v) is then bent to the point: [[uu, uv], [uv, vv]] are its derivatives by (u, v), alike across as those of all bends about a centre are.
 *
 * @param J two rows, each `n` long, whose first eight places are filled, in the order a b c d e f g h.
 */
export function homographyTerms(J: Float64Array, n: number, X: number, Y: number, w: number, u: number, v: number, uu: number, uv: number, vv: number): void {
  const x = X / w;
  const y = Y / w;
  const one = 1 / w;
  J[0] = uu * x;
  J[1] = uu * y;
  J[2] = uu * one;
  J[3] = J[n] = uv * x;
  J[4] = J[n + 1] = uv * y;
  J[5] = J[n + 2] = uv * one;
  J[n + 3] = vv * x;
  J[n + 4] = vv * y;
  J[n + 5] = vv * one;
  const along = uu * u + uv * v;
  const across = uv * u + vv * v;
  J[6] = -x * along;
  J[7] = -y * along;
  J[n + 6] = -x * across;
  J[n + 7] = -y * across;
}
