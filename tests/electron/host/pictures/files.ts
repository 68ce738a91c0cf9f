import sharp, { type Sharp } from "sharp";

/** Size of the test picture: not square, no multiple of eight. */
export const WIDTH = 150;
export const HEIGHT = 101;

/** Colours of the four quarters as seen upright: upper left, upper right, lower left, lower right. */
export const QUARTERS = [
  [200, 60, 40],
  [60, 160, 70],
  [50, 70, 180],
  [230, 225, 215],
] as const;

/** The test picture upright: four plain quarters, so that any turn or mirror shows. */
export function quarters(): Sharp {
  const data = Buffer.alloc(WIDTH * HEIGHT * 3);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      data.set(QUARTERS[(x >= WIDTH / 2 ? 1 : 0) + (y >= HEIGHT / 2 ? 2 : 0)], 3 * (y * WIDTH + x));
    }
  }
  return sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
}

/** Samples in the middles of the four quarters of a decoded picture. */
export function quarterSamples(picture: { width: number; height: number; channels: number; data: ArrayLike<number> }): number[][] {
  const { width, height, channels, data } = picture;
  const at = (fx: number, fy: number) => {
    const k = (Math.floor(fy * height) * width + Math.floor(fx * width)) * channels;
    return Array.from({ length: channels }, (_, c) => data[k + c]);
  };
  return [at(0.25, 0.25), at(0.75, 0.25), at(0.25, 0.75), at(0.75, 0.75)];
}
