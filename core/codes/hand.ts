import { homographyFromFour } from "../geometry/homography.ts";
import { apply } from "../geometry/transform.ts";

/** What a decoder was given, one byte a pixel. */
export interface DecodedImage {
  readonly width: number;
  readonly height: number;
  readonly data: ArrayLike<number>;
}

/** A place in an image, pixels. */
export interface Corner {
  readonly x: number;
  readonly y: number;
}

/** The outer corners of a symbol's square as a decoder names them, which takes any symbol for one that is seen as printed. */
export interface Corners {
  readonly topLeftCorner: Corner;
  readonly topRightCorner: Corner;
  readonly bottomLeftCorner: Corner;
  readonly bottomRightCorner: Corner;
}

/**
 * The 32 words of format information, ISO/IEC 18004: five bits of data, ten of a BCH code of the generator x^10 + x^8 + x^5 + x^4 + x^2 + x + 1, the whole masked with
 * 101010000010010 (the values from memory; checked against symbols drawn by another author's encoder).
 */
const FORMAT_WORDS = Array.from({ length: 32 }, (_, data) => {
  let rest = data << 10;
  for (let bit = 14; bit >= 10; bit--) if (rest & (1 << bit)) rest ^= 0b10100110111 << (bit - 10);
  return ((data << 10) | rest) ^ 0b101010000010010;
});

/**
 * Whether a symbol that could be read is seen mirror-imaged. The decoder reads it either way and does not say which; the format information beside its corner pattern, which
 * a mirror image turns end to end, does.
 *
 * @param version the symbol's version, 1 to 40.
 */
export function isMirrorImage(image: DecodedImage, corners: Corners, version: number): boolean {
  const modules = 17 + 4 * version;
  const { topLeftCorner: a, topRightCorner: b, bottomRightCorner: c, bottomLeftCorner: d } = corners;
  const symbol = homographyFromFour<"print", "picture">([
    { from: { x: 0, y: 0 }, to: a }, { from: { x: modules, y: 0 }, to: b }, { from: { x: modules, y: modules }, to: c }, { from: { x: 0, y: modules }, to: d },
  ]);
  if (!symbol) return false;
  const light = (column: number, row: number): number => valueAt(image, apply(symbol, column + 0.5, row + 0.5));
  // The middle of a finder pattern is as the dark modules are, the square round it as the light ones: so a symbol in light ink on dark board is understood too.
  const finders = [[0, 0], [modules - 7, 0], [0, modules - 7]];
  const mean = (at: readonly (readonly [number, number])[]): number => finders.reduce((sum, [x, y]) => sum + at.reduce((s, [dx, dy]) => s + light(x + dx, y + dy), 0), 0) / (3 * at.length);
  const [dark, bright] = [mean([[3, 3], [2, 2], [4, 4], [2, 4], [4, 2]]), mean([[1, 1], [1, 3], [3, 1], [5, 3], [3, 5], [5, 5]])];
  const isDark = (column: number, row: number): boolean => (light(column, row) - (dark + bright) / 2) * (dark - bright) > 0;
  const mirrored = (column: number, row: number): boolean => isDark(row, column);
  return misreadings(mirrored, modules) < misreadings(isDark, modules);
}

type Modules = (column: number, row: number) => boolean;

/** Bits of both copies of the format information that differ from the word which is nearest to each. */
function misreadings(isDark: Modules, modules: number): number {
  const first = [0, 1, 2, 3, 4, 5, 7, 8].map((x) => isDark(x, 8)).concat([7, 5, 4, 3, 2, 1, 0].map((y) => isDark(8, y)));
  const second = [1, 2, 3, 4, 5, 6, 7].map((k) => isDark(8, modules - k)).concat([8, 7, 6, 5, 4, 3, 2, 1].map((k) => isDark(modules - k, 8)));
  return [first, second].reduce((sum, bits) => {
    const word = bits.reduce((w, bit) => (w << 1) | Number(bit), 0);
    return sum + Math.min(...FORMAT_WORDS.map((w) => bitsOf(w ^ word)));
  }, 0);
}

function bitsOf(word: number): number {
  let count = 0;
  for (let rest = word; rest; rest &= rest - 1) count++;
  return count;
}

/** The pixel at a place, whose coordinates count from the first pixel's outer corner; white beyond the image. */
function valueAt({ width, height, data }: DecodedImage, { x, y }: Corner): number {
  const [i, j] = [Math.floor(x), Math.floor(y)];
  return i < 0 || j < 0 || i >= width || j >= height ? 255 : data[j * width + i];
}
