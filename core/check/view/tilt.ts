import type { ProfileMatch } from "../../camera/match.ts";
import type { View } from "../../camera/view.ts";
import type { Picture } from "../../image/picture.ts";
import { focalLength } from "./focalLength.ts";

/**
 * Angle between the sheet's normal and the optical axis, degrees. The columns of K^-1 H are the sheet's axes in the camera's frame up to a factor
 * (Zhang 2000); the focal length is the profile's, else that of the film format in EXIF, else one that makes those axes square and equal.
 */
export function tiltOf(view: View, picture: Picture, profile: ProfileMatch | null): number {
  const m = view.homography.m;
  const lens = profile?.kind === "camera" ? profile.lens : view.lens;
  const cx = lens?.cx ?? (picture.width - 1) / 2;
  const cy = lens?.cy ?? (picture.height - 1) / 2;
  const f = focalLength(m, cx, cy, picture, profile);
  const axis = (i: number): [number, number, number] => [(m[i] - cx * m[6 + i]) / f, (m[3 + i] - cy * m[6 + i]) / f, m[6 + i]];
  const [p, q] = [axis(0), axis(1)];
  const n = [p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]];
  return (Math.acos(Math.min(1, Math.abs(n[2]) / Math.hypot(...n))) * 180) / Math.PI;
}
