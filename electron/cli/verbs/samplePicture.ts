import sharp from "sharp";
import type { Picture } from "../../../core/image/picture.ts";
import type { Encoding } from "../../../core/sample/scenarios.ts";

/** Codes a drawn picture (8-bit sRGB) as a file's bytes; a scan's density goes with it. */
export async function encodePicture(picture: Picture, encoding: Encoding): Promise<Buffer> {
  const { width, height, channels, density } = picture;
  let image = sharp(picture.data as Uint8Array, { raw: { width, height, channels }, limitInputPixels: false });
  if (channels === 1) image = image.toColourspace("b-w");
  if (density) image = image.withMetadata({ density: density.x });
  if (encoding.format === "jpeg") return image.jpeg({ quality: encoding.quality, chromaSubsampling: encoding.quality >= 90 ? "4:4:4" : "4:2:0" }).toBuffer();
  if (encoding.format === "png") return image.png({ compressionLevel: 2 }).toBuffer();
  const perMm = (density?.x ?? 25.4) / 25.4;
  return image.tiff({ compression: "none", xres: perMm, yres: perMm }).toBuffer();
}

/** The ending of a file so coded. */
export function endingOf(encoding: Encoding): string {
  return encoding.format === "jpeg" ? "jpg" : encoding.format === "tiff" ? "tif" : "png";
}
