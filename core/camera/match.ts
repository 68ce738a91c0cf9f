import type { PictureExif } from "../image/picture.ts";
import type { Lens } from "./lens.ts";
import { isTurnedSideways, turnCovariance, turnLens } from "./orientation.ts";
import type { CameraProfile, Profile, ScannerProfile } from "./profile.ts";
import type { Scanner } from "./scanner.ts";

/** What of a picture decides whether a profile fits it. */
export interface Taken {
  readonly width: number;
  readonly height: number;
  readonly exif?: PictureExif;
}

/** What a profile gives for one picture. `warnings` are sentences for people, with or without a lens. */
export type ProfileMatch =
  | {
    readonly kind: "camera";
    /** The lens in this picture's pixels. */
    readonly lens: Lens;
    /** Covariance of fx, fy, cx, cy, k1, k2, p1, p2, k3. */
    readonly covariance: readonly (readonly number[])[];
    readonly warnings: readonly string[];
  }
  | { readonly kind: "scanner"; readonly scanner: Scanner; readonly covariance: readonly (readonly number[])[]; readonly warnings: readonly string[] }
  | { readonly kind: "none"; readonly warnings: readonly string[] };

/**
 * The lens (or scanner terms) that `profile` gives for `picture`. Where the picture was taken otherwise (another camera, another lens,
 * zoomed, cropped), the profile does not apply: `none`, and a warning says why. Where that cannot be told it applies, with a warning.
 */
export function lensFor(profile: Profile, picture: Taken): ProfileMatch {
  return profile.kind === "camera" ? matchCamera(profile, picture) : matchScanner(profile, picture);
}

/**
 * The profile made for the camera that took a picture, by what the picture says of itself: make and model are stated by both and agree, and neither lens nor zoom
 * contradicts. The newest where there are several; undefined where there is none, since a size alone is no evidence of a camera.
 */
export function profileFor<P extends Profile>(profiles: readonly P[], exif: PictureExif | undefined): P | undefined {
  const stated = (e: { make?: string; model?: string } | undefined) => e?.make !== undefined && e.model !== undefined;
  return profiles.filter((p) => stated(exif) && stated(p.exif) && differentCamera(p, exif) === null).sort((a, b) => b.date.localeCompare(a.date))[0];
}

function matchCamera(profile: CameraProfile, picture: Taken): ProfileMatch {
  const other = differentCamera(profile, picture.exif);
  if (other) return none(other);
  const warnings: string[] = [];
  if (!picture.exif?.model && profile.exif.model) {
    warnings.push(`The picture does not say which camera took it; the profile "${profile.name}" is used because its size fits.`);
  }
  const { width, height } = profile.picture;
  const orientation = orientationOf(profile, picture);
  if (orientation.warning) warnings.push(orientation.warning);
  const [w, h] = isTurnedSideways(orientation.value) ? [picture.height, picture.width] : [picture.width, picture.height];
  const scale = w / width;
  if (Math.abs(h - scale * height) > 1.5 * Math.max(1, scale)) {
    return none(`The picture is ${picture.width} x ${picture.height} pixels and the profile "${profile.name}" is for ${width} x ${height}: `
      + "it was cropped or taken in another format, so the profile is not used.");
  }
  if (scale !== 1) {
    warnings.push(`The picture is ${picture.width} x ${picture.height} pixels, the profile "${profile.name}" is for ${width} x ${height}: `
      + "it is taken for a smaller or larger copy of the whole picture. Use pictures as the camera saves them.");
  }
  const lens = turnLens(scaled(profile.lens, scale), orientation.value, w, h);
  const covariance = turnCovariance(scaledCovariance(profile.covariance, scale), orientation.value);
  return { kind: "camera", lens, covariance, warnings };
}

function matchScanner(profile: ScannerProfile, picture: Taken): ProfileMatch {
  const other = differentCamera(profile, picture.exif);
  if (other) return none(other);
  const { width, height } = profile.picture;
  if (picture.width !== width || picture.height !== height) {
    return none(`The scan is ${picture.width} x ${picture.height} pixels and the profile "${profile.name}" is for ${width} x ${height}: `
      + "scan the whole bed at the resolution of the profile; the profile is not used.");
  }
  const { pxPerMm, squareness, bow, run, covariance } = profile;
  return { kind: "scanner", scanner: { width, height, pxPerMm, squareness, bow, run }, covariance, warnings: [] };
}

/** Why the picture was not taken with the camera, lens and zoom of the profile; null where nothing speaks against it. */
function differentCamera(profile: Profile, exif: PictureExif | undefined): string | null {
  const is = profile.exif;
  const not = (what: string) => `${what}, so the profile "${profile.name}" is not used.`;
  const camera = (e: { make?: string; model?: string }) => [e.make, e.model].filter(Boolean).join(" ");
  if (differs(exif?.make, is.make) || differs(exif?.model, is.model)) {
    return not(`The picture was taken with ${camera(exif ?? {})} and the profile is for ${camera(is)}`);
  }
  if (differs(exif?.lensModel, is.lensModel)) return not(`The picture was taken through another lens (${exif?.lensModel} instead of ${is.lensModel})`);
  if (farFrom(exif?.focalLength, is.focalLength)) {
    return not(`The picture was zoomed: its focal length is ${exif?.focalLength} mm and the profile is for ${is.focalLength} mm`);
  }
  if (farFrom(exif?.focalLength35, is.focalLength35)) {
    return not(`The picture was zoomed or cropped by the camera: it equals ${exif?.focalLength35} mm on film and the profile is for ${is.focalLength35} mm`);
  }
  return null;
}

function differs(a: string | undefined, b: string | undefined): boolean {
  return a !== undefined && b !== undefined && a.trim().toLowerCase() !== b.trim().toLowerCase();
}

/** Focal lengths are given to 0.1 mm at best, and to whole mm on film. */
function farFrom(a: number | undefined, b: number | undefined): boolean {
  return a !== undefined && b !== undefined && Math.abs(a - b) > Math.max(0.01 * b, 0.011);
}

function orientationOf(profile: CameraProfile, picture: Taken): { value: number; warning?: string } {
  const lies = profile.picture.width >= profile.picture.height;
  const sideways = lies !== picture.width >= picture.height && profile.picture.width !== profile.picture.height;
  const stated = picture.exif?.orientation;
  if (stated && isTurnedSideways(stated) === sideways) return { value: stated };
  if (!sideways) return { value: 1 };
  const warning = `The picture stands upright and the profile "${profile.name}" lies; the picture does not say which way it was turned. `
    + "A quarter turn to the right is assumed: where the lens is off centre, take pictures as the camera saves them.";
  return { value: 6, warning };
}

/** The lens of a copy `scale` times the size; pixel centres are at whole numbers. */
function scaled(lens: Lens, scale: number): Lens {
  const centre = (c: number) => (c + 0.5) * scale - 0.5;
  return { ...lens, fx: lens.fx * scale, fy: lens.fy * scale, cx: centre(lens.cx), cy: centre(lens.cy) };
}

function scaledCovariance(covariance: readonly (readonly number[])[], scale: number): number[][] {
  const by = (i: number) => (i < 4 ? scale : 1);
  return covariance.map((row, i) => row.map((v, j) => v * by(i) * by(j)));
}

function none(warning: string): ProfileMatch {
  return { kind: "none", warnings: [warning] };
}
