import { open } from "node:fs/promises";
import sharp, { type Metadata, type Sharp, type SharpOptions } from "sharp";
import type { Picture } from "../../../core/image/picture.ts";
import { originOf, type Origin } from "./exif.ts";
import { PictureFault, tooLarge, unreadable } from "./fault.ts";
import { decodeHeic } from "./heic.ts";
import { transferOf, type Transfer } from "./icc.ts";

/** A picture, and what the operator should know of how it was taken in. */
export interface DecodedPicture extends Picture {
  readonly warnings: readonly string[];
}

export interface DecodeOptions {
  /** Largest picture taken in, pixels. An A2 at 1200 dpi has 557 million. */
  readonly maxPixels?: number;
}

/** Above this many pixels a colour picture is taken in as grey: three planes would fill the memory of a small machine. */
const COLOUR_LIMIT = 150e6;

const FORMATS = new Set(["jpeg", "png", "tiff", "webp", "heif"]);
const ACCEPTED = "Kerfmark reads JPEG, PNG, TIFF, WebP, AVIF and HEIC pictures.";
const AGAIN = "Copy the file again, or take the picture again.";

/**
 * Decodes a picture file once, whole: EXIF orientation applied, alpha over white, CMYK and Lab to RGB, 16 bits kept, grey as one
 * channel and colour as three. What the file is, is read from its content and never from its name.
 *
 * Colour profiles: where the profile's tone curve is sRGB's or close to it (also Display P3 and Adobe RGB), or linear, the samples are taken
 * as they are, which saves a third of the decoding time; another gamut moves no edge. Other profiles are converted to sRGB.
 *
 * @param source a path or the file's bytes
 * @throws PictureFault with the refusal `image-unreadable` or `image-too-large`
 */
export async function decodePicture(source: string | Uint8Array, { maxPixels = 600e6 }: DecodeOptions = {}): Promise<DecodedPicture> {
  const facts = await metadataOf(source);
  if (!FORMATS.has(facts.format)) throw unreadable(`it is a ${facts.format.toUpperCase()} file, not a photo or a scan`, ACCEPTED);
  if (facts.width * facts.height > maxPixels) throw tooLarge(facts.width, facts.height, maxPixels);
  if (facts.depth !== "uchar" && facts.depth !== "ushort") {
    throw unreadable(`its samples are of the kind "${facts.depth}"`, "Save it with 8 or 16 bits per sample.");
  }
  const origin = await originOf(facts.exif ?? (facts.format === "tiff" ? source : new Uint8Array()));
  const warnings = (facts.pages ?? 1) > 1 && !isPyramid(facts) ? [`The file holds ${facts.pages} pictures; only the first was measured.`] : [];
  const about = { density: densityOf(facts, origin), exif: origin.exif, warnings };
  if (facts.format === "heif" && facts.compression !== "av1") {
    return { ...(await decodeHeic(source, maxPixels)), channels: 3, transfer: "srgb", ...about };
  }
  return { ...(await decodeBySharp(source, facts, maxPixels)), ...about };
}

async function metadataOf(source: string | Uint8Array): Promise<Metadata> {
  if (typeof source !== "string" && source.length === 0) throw unreadable("the file is empty");
  try {
    return await sharp(source, { limitInputPixels: false, failOn: "warning" }).metadata();
  } catch (error) {
    throw faultOf(error, await startOf(source));
  }
}

/** The first bytes of a source that could not be opened, to tell a damaged picture from something else. */
async function startOf(source: string | Uint8Array): Promise<Uint8Array> {
  if (typeof source !== "string") return source.subarray(0, 12);
  const file = await open(source).catch(() => undefined);
  if (!file) return new Uint8Array();
  try {
    const facts = await file.stat();
    if (facts.isDirectory()) throw unreadable("it is a folder", "Name the pictures in it.");
    if (facts.size === 0) throw unreadable("the file is empty");
    return new Uint8Array((await file.read(new Uint8Array(12), 0, 12, 0)).buffer);
  } finally {
    await file.close();
  }
}

async function decodeBySharp(source: string | Uint8Array, facts: Metadata, maxPixels: number) {
  const colour = facts.channels > 2;
  const transfer = transferIn(facts);
  const deep = facts.depth === "ushort";
  const options: SharpOptions = { limitInputPixels: maxPixels, failOn: "warning", sequentialRead: true, ignoreIcc: transfer !== "other" };
  let image: Sharp = sharp(source, options).autoOrient();
  if (facts.hasAlpha) image = image.flatten({ background: "#ffffff" });
  const keepColour = colour && facts.width * facts.height <= COLOUR_LIMIT;
  image = image.toColourspace(keepColour ? (deep ? "rgb16" : "srgb") : deep ? "grey16" : "b-w");
  try {
    const { data, info } = await image.raw({ depth: deep ? "ushort" : "uchar" }).toBuffer({ resolveWithObject: true });
    const channels = keepColour ? 3 : 1;
    if (info.channels !== channels) throw unreadable(`its ${facts.space} samples give ${info.channels} channels instead of ${channels}`);
    const samples = deep ? new Uint16Array(data.buffer, data.byteOffset, data.byteLength / 2) : new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    return { width: info.width, height: info.height, channels, transfer: transfer === "linear" ? "linear" : "srgb", data: samples } as const;
  } catch (error) {
    throw faultOf(error);
  }
}

/** CMYK and Lab are always converted: only light can be measured, not ink. */
function transferIn(facts: Metadata): Transfer {
  if (facts.space === "cmyk" || facts.space === "lab") return "other";
  return facts.icc ? transferOf(facts.icc) : "srgb";
}

/** The reduced copies inside a pyramid are no pictures of their own. */
function isPyramid(facts: Metadata): boolean {
  return facts.format === "heif" || (facts.subifds ?? 0) > 0 || (facts.levels?.length ?? 0) > 0;
}

function densityOf(facts: Metadata, origin: Origin): Picture["density"] {
  return facts.density ? { x: facts.density, y: facts.density * origin.densityRatio } : undefined;
}

/** The decoder's message in plain words where it is a usual one; its own words in brackets for whoever has to look further. */
function faultOf(error: unknown, start?: Uint8Array): PictureFault {
  if (error instanceof PictureFault) return error;
  const raw = (error instanceof Error ? error.message : String(error)).split("\n")[0].trim();
  if (/file is missing|no such file/i.test(raw)) return unreadable("there is no such file", "Check the name and the folder.");
  if (/is empty|empty file/i.test(raw)) return unreadable("the file is empty");
  const kind = start && pictureKind(start);
  if (kind) return unreadable(`it begins like a ${kind} file but is damaged or ends too early (${raw})`, AGAIN);
  if (/unsupported image format|not in a known format/i.test(raw)) return unreadable("its content is not that of a picture", ACCEPTED);
  if (/premature end|truncat|unexpected end|end of (file|stream|data)|not enough data|short read|libpng read error|bad seek/i.test(raw)) {
    return unreadable(`it ends too early, part of it is missing (${raw})`, AGAIN);
  }
  return unreadable(`its content is damaged (${raw})`, AGAIN);
}

/** The picture format that a file's first bytes announce. */
function pictureKind(start: Uint8Array): string | undefined {
  const text = String.fromCharCode(...start);
  if (text.startsWith("\xff\xd8\xff")) return "JPEG";
  if (text.startsWith("\x89PNG")) return "PNG";
  if (/^(II[*+]\0|MM\0[*+])/.test(text)) return "TIFF";
  if (/^RIFF....WEBP/s.test(text)) return "WebP";
  return text.slice(4, 8) === "ftyp" ? "HEIC or AVIF" : undefined;
}
