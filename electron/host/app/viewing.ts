import { mkdir, rename, stat } from "node:fs/promises";
import { join } from "node:path";
import type { Sharp, SharpOptions } from "sharp";

/** The largest picture opened, pixels: above an A2 at 1200 dpi (557 MP). */
export const LARGEST = 600e6;

/** Rewrites a HEIC picture as TIFF; it takes a second or two of one core, so the program does it on a measuring thread. */
export type RewriteHeic = (from: string, to: string) => Promise<void>;

/**
 * Path of a file that `openForViewing` can open: the picture itself, or, of a HEIC picture, which its decoder cannot read, a copy made once
 * in `folder` (kept with the tiles).
 */
export async function viewable(path: string, folder: string, rewrite: RewriteHeic): Promise<string> {
  const { format, compression } = await (await opened(path)).metadata();
  if (format !== "heif" || compression === "av1") return path;
  const copy = join(folder, "seen.tif");
  if (await isThere(copy)) return copy;
  await mkdir(folder, { recursive: true });
  const draft = join(folder, `${crypto.randomUUID()}.draft.tif`);
  await rewrite(path, draft);
  await rename(draft, copy);
  return copy;
}

/** The decoder is loaded with the first picture: the screens are there before. */
async function opened(path: string, options: SharpOptions = {}): Promise<Sharp> {
  const { default: sharp } = await import("sharp");
  return sharp(path, { limitInputPixels: LARGEST, failOn: "none", ...options });
}

/** A picture for showing (not for measuring): upright, sRGB, 8 bit, transparent parts white. */
export async function openForViewing(path: string): Promise<Sharp> {
  return (await opened(path, { sequentialRead: true }))
    .autoOrient()
    .flatten({ background: "#ffffff" })
    .toColourspace("srgb");
}

/** Width and height as seen, that is after the EXIF orientation is applied. */
export async function sizeAsSeen(path: string): Promise<{ width: number; height: number }> {
  const facts = await (await opened(path)).metadata();
  return { width: facts.autoOrient.width, height: facts.autoOrient.height };
}

function isThere(path: string): Promise<boolean> {
  return stat(path).then(() => true, (error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT") return false;
    throw error;
  });
}
