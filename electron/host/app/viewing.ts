import sharp, { type Sharp } from "sharp";

/** The largest picture opened, pixels: above an A2 at 1200 dpi (557 MP). */
export const LARGEST = 600e6;

/** A picture for showing (not for measuring): upright, sRGB, 8 bit, transparent parts white. */
export async function openForViewing(path: string): Promise<Sharp> {
  return sharp(path, { limitInputPixels: LARGEST, failOn: "none", sequentialRead: true })
    .autoOrient()
    .flatten({ background: "#ffffff" })
    .toColourspace("srgb");
}

/** Width and height as seen, that is after the EXIF orientation is applied. */
export async function sizeAsSeen(path: string): Promise<{ width: number; height: number }> {
  const facts = await sharp(path, { limitInputPixels: LARGEST, failOn: "none" }).metadata();
  return { width: facts.autoOrient.width, height: facts.autoOrient.height };
}
