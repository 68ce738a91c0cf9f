/**
 * Frames and points. A point carries the frame it is given in as a phantom type, so that a print-frame point cannot be
 * passed where a picture point is wanted. Only the functions that change frames (view, flip) may re-label a point.
 *
 * - `print`: mm, facing the printed side, origin at the sheet's lower-left corner, x right, y up.
 * - `cutter`: mm, as seen from the side the blade enters (contract section 1).
 * - `picture`: pixels, x right, y DOWN, the first pixel's centre is (0, 0), after the EXIF orientation is applied.
 */
export type Frame = "print" | "cutter" | "picture";

declare const frame: unique symbol;

/** A point (or a vector) in frame `F`: mm in `print` and `cutter`, pixels in `picture`. */
export interface Point<F extends Frame> {
  readonly x: number;
  readonly y: number;
  readonly [frame]?: F;
}

export type PrintPoint = Point<"print">;
export type CutterPoint = Point<"cutter">;
export type PicturePoint = Point<"picture">;

/** A symmetric 2x2 covariance of a point, in the square of the frame's unit. */
export interface Covariance2<F extends Frame> {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  readonly [frame]?: F;
}
