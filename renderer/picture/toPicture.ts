import type { Overlay } from "../../core/check/record.ts";
import { project, type View } from "../../core/camera/view.ts";
import type { PicturePoint } from "../../core/geometry/frames.ts";

/** Carries a print-frame point (mm) into the picture (px), lens and all. */
export type ToPicture = (x: number, y: number) => PicturePoint;

/** From the print plane, mm, to the picture, px, as the check has found it, lens included. */
export function toPictureOf(overlay: Overlay): ToPicture {
  const view: View = { homography: { m: overlay.homography }, lens: overlay.lens };
  return (x, y) => project(view, x, y);
}
