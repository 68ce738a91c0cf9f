import type { ProfileMatch } from "../../camera/match.ts";
import type { View } from "../../camera/view.ts";
import type { Picture } from "../../image/picture.ts";
import { eyeOf, type Eye } from "../../witness/eye.ts";
import { focalLength } from "./focalLength.ts";

/** Where the camera of a photo stands over the sheet, by its view; null where the view has no such place. */
export function eyeOver({ homography: { m } }: View, picture: Pick<Picture, "width" | "height" | "exif">, profile: ProfileMatch | null): Eye | null {
  const middle = { x: (picture.width - 1) / 2, y: (picture.height - 1) / 2 };
  return eyeOf(m, focalLength(m, middle.x, middle.y, picture, profile), middle);
}
