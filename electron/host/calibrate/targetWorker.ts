import sharp from "sharp";
import { calibrateCamera, type CameraCalibration, type TargetPicture } from "../../../core/camera/calibrate/camera.ts";
import type { NoCalibration } from "../../../core/camera/calibrate/planar.ts";
import { calibrateScanner, type ScannerCalibration } from "../../../core/camera/calibrate/scanner.ts";
import type { Target } from "../../../core/camera/target/target.ts";
import { decodePicture } from "../pictures/decode.ts";
import { PictureFault } from "../pictures/fault.ts";
import { findTarget } from "./findTarget.ts";

sharp.cache(false);

export interface ReadingTask {
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly target: Target;
}

/** The target as one picture shows it, or why it cannot be read there. */
export type Reading = { readonly ok: true; readonly picture: TargetPicture } | { readonly ok: false; readonly name: string; readonly reason: string };

/** Reads the target in a picture. What is wrong with the picture is an answer, not a fault. */
export default async function readTarget({ bytes, name, target }: ReadingTask): Promise<Reading> {
  const picture = await decodePicture(bytes).catch((error: unknown) => {
    if (error instanceof PictureFault) return error;
    throw error;
  });
  if (picture instanceof PictureFault) return { ok: false, name, reason: picture.message };
  const found = await findTarget(picture, target);
  if (!found.ok) return { ok: false, name, reason: found.reason };
  const { width, height, exif } = picture;
  return { ok: true, picture: { name, width, height, exif, points: found.points } };
}

export interface CalibrationTask {
  readonly kind: "camera" | "scanner";
  readonly pictures: readonly TargetPicture[];
  readonly given: { readonly name: string; readonly date: string; readonly target: string };
  /** Whether the target's lengths were measured. */
  readonly measured: boolean;
}

/** Makes a profile of what was read. */
export function calibrate({ kind, pictures, given, measured }: CalibrationTask): CameraCalibration | ScannerCalibration | NoCalibration {
  return kind === "scanner" ? calibrateScanner(pictures, given, measured) : calibrateCamera(pictures, given);
}
