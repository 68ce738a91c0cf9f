import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { homographyTerms } from "../../geometry/homographyTerms.ts";
import type { Transform } from "../../geometry/transform.ts";
import type { Lens } from "../../camera/lens.ts";
import { toPicture as viewToPicture, toPrint as viewToPrint, type View } from "../../camera/view.ts";
import type { LayoutFrame } from "../../marks/layoutFit.ts";
import type { PlaneMap } from "../../marks/localMap.ts";

/**
 * The view as parameters, in normalised units (print: centred, half span 1; picture: about its centre, half diagonal 1):
 *
 *   w = 1 + gX + hY,  u = (aX + bY + c)/w + p Y^2,  v = (dX + eY + f)/w + q X^2      (p, q: the bow of a scanner)
 *   r^2 = (u - m)^2 + (v - n)^2,  seen = (m, n) + ((u, v) - (m, n)) (1 + k1 r^2 + k2 r^4)   (m, n: the lens's own centre)
 */
export const VIEW_TERMS = ["a", "b", "c", "d", "e", "f", "g", "h", "k1", "k2", "m", "n", "p", "q"] as const;
export const TERM_COUNT = VIEW_TERMS.length;
const [K1, K2, M, N, P, Q] = [8, 9, 10, 11, 12, 13];

/** Which terms are free, simplest first within a family. */
export type ViewKind = "affine" | "bowed" | "projective" | "radial" | "radial-full";

export const FREE_TERMS: Readonly<Record<ViewKind, readonly number[]>> = {
  affine: [0, 1, 2, 3, 4, 5],
  bowed: [0, 1, 2, 3, 4, 5, P, Q],
  projective: [0, 1, 2, 3, 4, 5, 6, 7],
  radial: [0, 1, 2, 3, 4, 5, 6, 7, K1],
  "radial-full": [0, 1, 2, 3, 4, 5, 6, 7, K1, K2, M, N],
};

/**
 * Prior standard deviations of the terms that a poor layout may leave undetermined: tilts to about 35 deg, the lenses of phones
 * and their centring (from memory: k1 within +-0.25 in focal lengths, centre within 2 % of the half diagonal), a scanner's bow within a few tenths of a mm.
 */
export const PRIORS: Readonly<Record<number, number>> = { 6: 0.3, 7: 0.3, [K1]: 0.15, [K2]: 0.05, [M]: 0.02, [N]: 0.02, [P]: 5e-4, [Q]: 5e-4 };

/** Normalisation of both planes: that of the rough view, which the search for the marks has fitted. */
export type ViewFrame = LayoutFrame;

/** Predicts the picture point (normalised) of the normalised print point (X, Y); `jacobian` (2 x TERM_COUNT) and `byPoint` (2 x 2) are filled where given. */
export function predictView(t: Float64Array, X: number, Y: number, out: Float64Array, jacobian: Float64Array | null, byPoint: Float64Array | null): void {
  const w = 1 + t[6] * X + t[7] * Y;
  const hu = (t[0] * X + t[1] * Y + t[2]) / w;
  const hv = (t[3] * X + t[4] * Y + t[5]) / w;
  const u = hu + t[P] * Y * Y - t[M];
  const v = hv + t[Q] * X * X - t[N];
  const r2 = u * u + v * v;
  const f = 1 + r2 * (t[K1] + r2 * t[K2]);
  out[0] = t[M] + u * f;
  out[1] = t[N] + v * f;
  if (!jacobian && !byPoint) return;
  const slope = 2 * (t[K1] + 2 * r2 * t[K2]);
  const uu = f + slope * u * u;
  const uv = slope * u * v;
  const vv = f + slope * v * v;
  if (byPoint) {
    const ux = (t[0] - hu * t[6]) / w;
    const uy = (t[1] - hu * t[7]) / w + 2 * t[P] * Y;
    const vx = (t[3] - hv * t[6]) / w + 2 * t[Q] * X;
    const vy = (t[4] - hv * t[7]) / w;
    byPoint[0] = uu * ux + uv * vx;
    byPoint[1] = uu * uy + uv * vy;
    byPoint[2] = uv * ux + vv * vx;
    byPoint[3] = uv * uy + vv * vy;
  }
  if (!jacobian) return;
  const J = jacobian;
  const n = TERM_COUNT;
  homographyTerms(J, n, X, Y, w, hu, hv, uu, uv, vv);
  J[K1] = u * r2;
  J[n + K1] = v * r2;
  J[K2] = u * r2 * r2;
  J[n + K2] = v * r2 * r2;
  J[M] = 1 - uu;
  J[n + M] = -uv;
  J[N] = -uv;
  J[n + N] = 1 - vv;
  J[P] = uu * Y * Y;
  J[n + P] = uv * Y * Y;
  J[Q] = uv * X * X;
  J[n + Q] = vv * X * X;
}

/** Pixels per mm in the middle of a view. */
export function scaleOf([a, b, , d, e]: Float64Array, { print, picture }: ViewFrame): number {
  return (Math.sqrt(Math.abs(a * e - b * d)) * picture.half) / print.half;
}

/** The homography and lens of a parameter vector, for everything that is not a scan's bow. */
export function viewOf(t: Float64Array, frame: ViewFrame): View {
  const { print, picture } = frame;
  const s = 1 / print.half;
  // Normalised print <- print, and picture <- normalised picture, multiplied out.
  const rows = [[t[0], t[1], t[2]], [t[3], t[4], t[5]], [t[6], t[7], 1]].map(([x, y, c]) => [x * s, y * s, c - s * (x * print.x + y * print.y)]);
  const m = [0, 1, 2].map((i) => picture.half * rows[0][i] + picture.x * rows[2][i])
    .concat([0, 1, 2].map((i) => picture.half * rows[1][i] + picture.y * rows[2][i]), rows[2]);
  const homography: Transform<"print", "picture"> = { m: m.map((v) => v / m[8]) };
  const bent = t[K1] !== 0 || t[K2] !== 0;
  const lens: Lens | null = bent
    ? { fx: picture.half, fy: picture.half, cx: picture.x + picture.half * t[M], cy: picture.y + picture.half * t[N], k1: t[K1], k2: t[K2], p1: 0, p2: 0, k3: 0 }
    : null;
  return { homography, lens };
}

/** Both ways through the view of a parameter vector, bow included; `lens` is what lies between its picture plane and the real picture, if known. */
export function planeMap(t: Float64Array, frame: ViewFrame, lens: LensMap | null): PlaneMap {
  const view = viewOf(t, frame);
  const bowed = t[P] !== 0 || t[Q] !== 0;
  const out = new Float64Array(2);
  const { print, picture } = frame;
  const forward = (p: PrintPoint): PicturePoint => {
    if (!bowed) return viewToPicture(view, p);
    predictView(t, (p.x - print.x) / print.half, (p.y - print.y) / print.half, out, null, null);
    return { x: picture.x + picture.half * out[0], y: picture.y + picture.half * out[1] };
  };
  const inverse = (q: PicturePoint): PrintPoint | null => {
    if (!bowed) return viewToPrint(view, q);
    // A bow is a small fraction of a millimetre: the flat answer, corrected twice, is exact to rounding.
    let p = viewToPrint(view, q);
    for (let i = 0; p && i < 3; i++) {
      const seen = forward(p);
      p = viewToPrint(view, { x: q.x - (seen.x - viewToPicture(view, p).x), y: q.y - (seen.y - viewToPicture(view, p).y) });
    }
    return p;
  };
  if (!lens) return { toPicture: forward, toPrint: inverse };
  return {
    toPicture: (p) => lens.distort(forward(p)),
    toPrint: (q) => {
      const ideal = lens.undistort(q);
      return ideal && inverse(ideal);
    },
  };
}

/** A known lens (from a profile): real picture <-> the ideal picture that the view maps to. */
export interface LensMap {
  distort(q: PicturePoint): PicturePoint;
  undistort(q: PicturePoint): PicturePoint | null;
}
