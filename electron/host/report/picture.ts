import { project, type View } from "../../../core/camera/view.ts";
import type { Overlay } from "../../../core/check/record.ts";
import type { Picture } from "../../../core/image/picture.ts";
import sharp from "sharp";
import { decodePicture } from "../pictures/decode.ts";

export interface PictureWithDeviations {
  readonly jpeg: Uint8Array;
  readonly width: number;
  readonly height: number;
  readonly enlarged: number;
}

/** Longer side of the copy in a report, px. */
const SIDE = 1400;

/**
 * A reduced copy of the picture with the deviation of every stretch drawn from its nominal place, enlarged by a round factor so that the
 * largest is about a thirtieth of the picture's width.
 * @throws PictureFault where the picture is gone or unreadable
 */
export async function drawDeviations(source: string | Uint8Array, { homography, lens, stretches }: Overlay): Promise<PictureWithDeviations> {
  const picture: Picture = await decodePicture(source);
  const scale = Math.min(1, SIDE / Math.max(picture.width, picture.height));
  const [width, height] = [Math.round(picture.width * scale), Math.round(picture.height * scale)];
  const view: View = { homography: { m: homography }, lens };
  const at = (x: number, y: number) => {
    const p = project(view, x, y);
    return { x: (p.x + 0.5) * scale, y: (p.y + 0.5) * scale };
  };
  const first = stretches[0];
  const perMm = first ? Math.hypot(at(first.x + 1, first.y).x - at(first.x, first.y).x, at(first.x + 1, first.y).y - at(first.x, first.y).y) : 1;
  const enlarged = roundFactor(width / 30 / Math.max(1e-3, perMm * Math.max(...stretches.map((s) => Math.abs(s.value)))));
  const lines = stretches.map(({ x, y, nx, ny, value }) => {
    const [a, b] = [at(x, y), at(x + enlarged * value * nx, y + enlarged * value * ny)];
    return `<circle cx="${a.x.toFixed(1)}" cy="${a.y.toFixed(1)}" r="2"/><line x1="${a.x.toFixed(1)}" y1="${a.y.toFixed(1)}" x2="${b.x.toFixed(1)}" y2="${b.y.toFixed(1)}"/>`;
  });
  const group = (colour: string, stroke: number) => `<g fill="${colour}" stroke="${colour}" stroke-width="${stroke}">${lines.join("")}</g>`;
  // A light rim under each line: it is seen on dark and on light board.
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">${group("#ffffff", 5)}${group("#c2187a", 2.4)}</svg>`;
  const grounds = sharp(picture.data, { raw: { width: picture.width, height: picture.height, channels: picture.channels }, limitInputPixels: false });
  const jpeg = await grounds.resize(width, height).toColourspace("srgb").composite([{ input: Buffer.from(svg) }]).jpeg({ quality: 85 }).toBuffer();
  return { jpeg, width, height, enlarged };
}

/** 1, 2, 5, 10, 20, 50 ... at most 1000. */
function roundFactor(wanted: number): number {
  const steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];
  return steps.findLast((s) => s <= wanted) ?? 1;
}
