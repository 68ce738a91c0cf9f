/** Reflectance (or light) in red, green and blue, linear, 0..1. */
export type Colour = readonly [number, number, number];

/** Luminance of linear sRGB (IEC 61966-2-1 primaries, CIE Y). */
export function luminanceOf(colour: ArrayLike<number>): number {
  return 0.2126 * colour[0] + 0.7152 * colour[1] + 0.0722 * colour[2];
}

/**
 * What a full layer of ink lets through, or, for opaque ink, gives back. Round figures of process inks on white board
 * (common practice, no source).
 */
export const INKS = {
  black: [0.025, 0.025, 0.03],
  cyan: [0.03, 0.36, 0.62],
  magenta: [0.6, 0.04, 0.2],
  red: [0.55, 0.035, 0.03],
  green: [0.05, 0.28, 0.1],
  blue: [0.05, 0.08, 0.32],
  brown: [0.16, 0.07, 0.035],
  yellow: [0.85, 0.65, 0.04],
  white: [0.82, 0.82, 0.8],
} as const satisfies Record<string, Colour>;

export type InkName = keyof typeof INKS;

/** A coded sRGB triple (0..255) as linear light. */
export function coded(r: number, g: number, b: number): Colour {
  const linear = (v: number): number => (v <= 10.31475 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  return [linear(r), linear(g), linear(b)];
}

/** A colour in as many channels as the picture has: its luminance for one. */
export function tones(colour: Colour, channels: 1 | 3): readonly number[] {
  return channels === 1 ? [luminanceOf(colour)] : colour;
}
