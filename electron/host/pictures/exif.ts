import exifr from "exifr";
import type { PictureExif } from "../../../core/image/picture.ts";

/** What a file says of its making, and how much finer (or coarser) its pixels lie down the picture than across. */
export interface Origin {
  readonly exif?: PictureExif;
  readonly densityRatio: number;
}

const WANTED = ["Make", "Model", "LensModel", "FocalLength", "FocalLengthIn35mmFormat", "DateTimeOriginal", "Orientation", "XResolution", "YResolution"];

/**
 * Reads camera and capture facts. `block` is the EXIF block of a picture (with or without its six-byte lead-in) or a whole TIFF file.
 * A damaged block gives no facts: it is no reason to refuse a picture whose pixels are sound.
 */
export async function originOf(block: Uint8Array | string): Promise<Origin> {
  const options = { pick: WANTED, reviveValues: false, translateValues: false };
  const lead = typeof block !== "string" && String.fromCharCode(...block.subarray(0, 4)) === "Exif";
  const tags: unknown = await exifr.parse(lead ? block.subarray(6) : block, options).catch(() => undefined);
  if (typeof tags !== "object" || tags === null) return { densityRatio: 1 };
  const t = tags as Record<string, unknown>;
  const exif: PictureExif = {
    make: text(t.Make), model: text(t.Model), lensModel: text(t.LensModel),
    focalLength: positive(t.FocalLength), focalLength35: positive(t.FocalLengthIn35mmFormat),
    takenAt: isoTime(text(t.DateTimeOriginal)), orientation: orientation(t.Orientation),
  };
  const [x, y] = [positive(t.XResolution), positive(t.YResolution)];
  const known = Object.entries(exif).filter(([, value]) => value !== undefined);
  return { exif: known.length > 0 ? (Object.fromEntries(known) as PictureExif) : undefined, densityRatio: x && y ? y / x : 1 };
}

function text(value: unknown): string | undefined {
  return typeof value === "string" ? value.replace(/\0.*$/s, "").trim() || undefined : undefined;
}

function positive(value: unknown): number | undefined {
  return typeof value === "number" && Number.isFinite(value) && value > 0 ? value : undefined;
}

function orientation(value: unknown): number | undefined {
  return typeof value === "number" && Number.isInteger(value) && value >= 1 && value <= 8 ? value : undefined;
}

/** EXIF writes "2026:11:03 14:05:09", in the camera's own time without a zone. */
function isoTime(value: string | undefined): string | undefined {
  const match = /^(\d{4})[:-](\d\d)[:-](\d\d)[ T](\d\d:\d\d:\d\d)/.exec(value ?? "");
  return match ? `${match[1]}-${match[2]}-${match[3]}T${match[4]}` : undefined;
}
