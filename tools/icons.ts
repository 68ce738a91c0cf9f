import { mkdirSync } from "node:fs";
import path from "node:path";
import sharp from "sharp";
import { root } from "./run.ts";

/** Draws the program's icons from renderer/public/icon.svg into dist/icons: a size each for Linux, one large for the others. */
export async function drawIcons(): Promise<void> {
  const folder = path.join(root, "dist/icons");
  mkdirSync(folder, { recursive: true });
  const draw = (side: number, name: string): Promise<unknown> =>
    sharp(path.join(root, "renderer/public/icon.svg"), { density: (72 * side) / 64 }).resize(side, side).png().toFile(path.join(folder, name));
  for (const side of [16, 32, 48, 64, 128, 256, 512]) await draw(side, `${side}x${side}.png`);
  await draw(1024, "icon.png");
}
