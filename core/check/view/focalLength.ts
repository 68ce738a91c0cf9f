import type { ProfileMatch } from "../../camera/match.ts";
import type { Picture } from "../../image/picture.ts";

/** The focal length of a picture, px: known, or what the view of the sheet and its own film format tell. */
export function focalLength(m: readonly number[], cx: number, cy: number, picture: Pick<Picture, "width" | "height" | "exif">, profile: ProfileMatch | null): number {
  if (profile?.kind === "camera") return (profile.lens.fx + profile.lens.fy) / 2;
  const diagonal = Math.hypot(picture.width, picture.height);
  if (picture.exif?.focalLength35) return (picture.exif.focalLength35 / Math.hypot(36, 24)) * diagonal;
  // Square axes: (u1 u2 + v1 v2)/f^2 + w1 w2 = 0; equal axes: (|1|^2 - |2|^2)/f^2 + w1^2 - w2^2 = 0. Whichever is better determined.
  const u = [0, 1].map((i) => [m[i] - cx * m[6 + i], m[3 + i] - cy * m[6 + i], m[6 + i]]);
  const square = [u[0][0] * u[1][0] + u[0][1] * u[1][1], u[0][2] * u[1][2]];
  const equal = [u[0][0] ** 2 + u[0][1] ** 2 - u[1][0] ** 2 - u[1][1] ** 2, u[0][2] ** 2 - u[1][2] ** 2];
  // Least squares of A/f^2 + B = 0 over both.
  const f2 = -(square[0] ** 2 + equal[0] ** 2) / (square[0] * square[1] + equal[0] * equal[1]);
  const f = Math.sqrt(f2);
  return f > 0.4 * diagonal && f < 4 * diagonal ? f : 0.65 * diagonal;
}
