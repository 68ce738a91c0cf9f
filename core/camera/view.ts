import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import { apply, depth, derivativeAt, invert } from "../geometry/transform.ts";
import type { Transform } from "../geometry/transform.ts";
import { DISTORTED, distort, distortWithDerivatives, isInRange, undistort } from "./lens.ts";
import type { Lens } from "./lens.ts";

/** How a picture shows the print plane: a homography into the ideal picture, then the lens (null: none worth modelling). */
export interface View {
  readonly homography: Transform<"print", "picture">;
  readonly lens: Lens | null;
}

/** Where the picture shows the print point (x, y): print plane -> homography -> lens -> picture. */
export function project(view: View, x: number, y: number): PicturePoint {
  const ideal = apply(view.homography, x, y);
  return view.lens ? distort(view.lens, ideal.x, ideal.y) : ideal;
}

/** `project` for a point. */
export function toPicture(view: View, p: PrintPoint): PicturePoint {
  return project(view, p.x, p.y);
}

/** Whether the print point lies before the camera, on the side of `inView` (a point known to be seen), and within the lens model. */
export function isSeen(view: View, p: PrintPoint, inView: PrintPoint): boolean {
  if (!(depth(view.homography, p.x, p.y) * depth(view.homography, inView.x, inView.y) > 0)) return false;
  const ideal = apply(view.homography, p.x, p.y);
  return view.lens === null || isInRange(view.lens, ideal.x, ideal.y);
}

/** The print point seen at `q`, or null where the lens model does not reach or the line of sight misses the plane. */
export function toPrint(view: View, q: PicturePoint): PrintPoint | null {
  const back = invert(view.homography);
  if (!back) return null;
  const ideal = view.lens ? undistort(view.lens, q.x, q.y) : { ok: true as const, x: q.x, y: q.y };
  if (!ideal.ok) return null;
  const p = apply(back, ideal.x, ideal.y);
  return Number.isFinite(p.x) && Number.isFinite(p.y) ? p : null;
}

/** Derivative of the picture point by the print point (x, y): [a, b, c, d], read [[du/dx, du/dy], [dv/dx, dv/dy]], px/mm. */
export function pictureDerivative(view: View, x: number, y: number): [number, number, number, number] {
  const [a, b, c, d] = derivativeAt(view.homography, x, y);
  if (!view.lens) return [a, b, c, d];
  const ideal = apply(view.homography, x, y);
  distortWithDerivatives(view.lens, ideal.x, ideal.y, distorted);
  const at = DISTORTED.byPoint;
  const [e, f, g, h] = [distorted[at], distorted[at + 1], distorted[at + 2], distorted[at + 3]];
  return [e * a + f * c, e * b + f * d, g * a + h * c, g * b + h * d];
}

/** Room for one point: tens of thousands are asked for in a picture. */
const distorted = new Float64Array(DISTORTED.length);
