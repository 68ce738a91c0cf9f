import jsqr, { type QRCode } from "jsqr";
import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import { boxMeans } from "../image/boxMeans.ts";
import type { Picture } from "../image/picture.ts";
import { reduce, toFull } from "../image/reduce.ts";
import { samplerOf, type Sampler } from "../image/sampler.ts";
import type { Code, Job } from "../job/schema.ts";
import { readPayload, type Payload } from "../job/payload.ts";
import { busiestPlaces } from "./busiest.ts";
import { isMirrorImage, type Corner, type Corners, type DecodedImage } from "./hand.ts";

// The package is CommonJS with its function as `default`; both ways of loading it are served.
const decode = (jsqr as unknown as { default?: typeof jsqr.default }).default ?? (jsqr as unknown as typeof jsqr.default);

/** Side of the flattened window, px, and the code's share of it: a quiet zone of four modules of a small symbol lies around. */
const SIDE = 320;
const SHARE = 0.72;

/** A code's corner may lie off where the view has it by this share of its side; under a view turned or mirrored against the print it lies a side away. */
const ASTRAY = 0.35;

/** A code read where a view has it. */
export interface ReadCode<Content> {
  readonly content: Content;
  /** Whether it stands there upright and not mirror-imaged. Where it does not, either the artwork has it turned or the view is a wrong one. */
  readonly upright: boolean;
}

/**
 * Reads a code where the view says it is: the window is flattened to the print plane first, so turn, tilt and mirroring do not
 * matter to the decoder. Returns its text, or null where none can be read.
 */
export function readCodeAt(sampler: Sampler, code: Code, toPicture: (p: PrintPoint) => PicturePoint | null): ReadCode<string> | null {
  const values = flattened(sampler, code, toPicture);
  const seen = values && readWindow(values, SIDE);
  return seen && { content: seen.read.data, upright: isUpright(seen.read, seen.image) };
}

/** Reads a code in a square window of linear light, `side` px wide; null where none can be read. */
function readWindow(values: Float32Array, side: number): { readonly read: QRCode; readonly image: DecodedImage } | null {
  let low = Infinity;
  let high = -Infinity;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  if (!(high - low > 0.02)) return null;
  // Back to perceived lightness (a square root is near enough): dark modules keep their contrast.
  const light = new Uint8Array(values.length);
  for (let k = 0; k < light.length; k++) light[k] = Number.isNaN(values[k]) ? 255 : 255 * Math.sqrt((values[k] - low) / (high - low));
  for (const radius of SHARPENED) {
    const data = radius === 0 ? light : sharpened(light, side, radius);
    const read = decode(rgbaOf(data), side, side, { inversionAttempts: "attemptBoth" });
    if (read?.data) return { read, image: { width: side, height: side, data } };
  }
  return null;
}

function isUpright({ location, version }: QRCode, window: DecodedImage): boolean {
  const margin = ((1 - SHARE) / 2) * SIDE;
  const { x, y } = location.topLeftCorner;
  return Math.hypot(x - margin, y - margin) < ASTRAY * SHARE * SIDE && !isMirrorImage(window, location, version);
}

/** The window's side in cells: within one the view is as good as straight. */
const CELLS = 16;

/** The window about a code's expected place, in linear light, its rows from the top of the print; null where the view does not reach so far. */
function flattened(sampler: Sampler, code: Code, toPicture: (p: PrintPoint) => PicturePoint | null): Float32Array | null {
  const window = code.size / SHARE;
  const cell = SIDE / CELLS;
  const values = new Float32Array(SIDE * SIDE);
  const off = (index: number): number => ((index + 0.5 / cell) / CELLS - 0.5) * window;
  const rowOfCorners = (j: number) => Array.from({ length: CELLS + 1 }, (_, i) => toPicture({ x: code.x + off(i), y: code.y - off(j) }));
  let upper = rowOfCorners(0);
  for (let j = 0; j < CELLS; j++) {
    const lower = rowOfCorners(j + 1);
    for (let i = 0; i < CELLS; i++) {
      const [a, b, c, d] = [upper[i], upper[i + 1], lower[i], lower[i + 1]];
      if (!a || !b || !c || !d) return null;
      for (let k = 0; k < cell; k++) {
        const down = k / cell;
        const [x, y] = [a.x + down * (c.x - a.x), a.y + down * (c.y - a.y)];
        sampler.line(x, y, (b.x + down * (d.x - b.x) - x) / cell, (b.y + down * (d.y - b.y) - y) / cell, cell, values, (j * cell + k) * SIDE + i * cell);
      }
    }
    upper = lower;
  }
  return values;
}

/**
 * As it is seen, then with the means over so many pixels about each taken off: blur of half a module melts modules together for a decoder that looks for a threshold, and a JPEG of modules two
 * or three pixels wide shades them in blocks, which the mean over about two modules takes off.
 */
const SHARPENED = [0, 3, 5, 8];
const SHARPENING = 1.5;

function sharpened(light: Uint8Array, side: number, radius: number): Uint8ClampedArray {
  const means = boxMeans(light, side, side, radius);
  const out = new Uint8ClampedArray(light.length);
  for (let k = 0; k < out.length; k++) out[k] = light[k] + SHARPENING * (light[k] - means[k]);
  return out;
}

function rgbaOf(light: Uint8Array | Uint8ClampedArray): Uint8ClampedArray {
  // Three bytes alike and one opaque, whatever the order of bytes in a word.
  const words = new Uint32Array(light.length);
  for (let k = 0; k < words.length; k++) words[k] = light[k] * 0x01010101;
  const rgba = new Uint8ClampedArray(words.buffer);
  for (let k = 3; k < rgba.length; k += 4) rgba[k] = 255;
  return rgba;
}

/** What the job's codes say under a view, by their patterns; null where no code can be read. */
export function readCodes(sampler: Sampler, job: Job, toPicture: (p: PrintPoint) => PicturePoint | null): ReadCode<Payload> | null {
  for (const code of job.codes) {
    const read = readCodeAt(sampler, code, toPicture);
    if (read) return { content: readPayload(code.payload, read.content) ?? {}, upright: read.upright };
  }
  return null;
}

/** Pixels that a decoder is given at most at once: it is quick there, and takes minutes on a whole noisy picture. */
const WINDOW = 1_000_000;

/** A code found without knowing where to look. */
export interface FoundCode {
  readonly payload: Payload;
  /** The outer corners of its square: where the print has them and where the picture shows them, to about a module. */
  readonly corners: readonly { readonly print: PrintPoint; readonly picture: PicturePoint }[];
}

/**
 * Looks for any code that follows one of the job's patterns anywhere in the picture: what is left to do
 * when the marks do not match, to place the layout by the code, or to tell a wrong job from a bad picture. In overlapping windows first; a small one, whose modules blur melts together, in close-ups of where the picture is busiest.
 * `longest` is a code's longest expected side, px; where the sheet fills half of the picture only, it is half as long.
 */
export function searchCodes(picture: Picture, job: Pick<Job, "codes">, longest: number): FoundCode | null {
  return searchWindows(picture, job, longest) ?? searchCloseUps(picture, job, longest) ?? searchCloseUps(picture, job, longest / 2);
}

function searchWindows(picture: Picture, job: Pick<Job, "codes">, longest: number): FoundCode | null {
  const factor = Math.max(1, Math.floor(longest / 120));
  const copy = reduce(picture, factor);
  const side = Math.floor(Math.sqrt(WINDOW));
  const step = Math.max(200, side - Math.ceil(longest / factor));
  for (let y0 = 0; y0 === 0 || y0 + side - step < copy.height; y0 += step) {
    for (let x0 = 0; x0 === 0 || x0 + side - step < copy.width; x0 += step) {
      const w = Math.min(side, copy.width - x0);
      const h = Math.min(side, copy.height - y0);
      if (w < 40 || h < 40) continue;
      const data = new Uint8Array(w * h);
      for (let j = 0; j < h; j++) data.set(copy.data.subarray((y0 + j) * copy.width + x0, (y0 + j) * copy.width + x0 + w), j * w);
      const read = decode(rgbaOf(data), w, h, { inversionAttempts: "dontInvert" });
      const found = read?.data ? foundOf(read, { width: w, height: h, data }, job, ({ x, y }) => ({ x: toFull(copy, x0 + x - 0.5), y: toFull(copy, y0 + y - 0.5) })) : null;
      if (found) return found;
    }
  }
  return null;
}

/** Side of a close-up, px, and how much of the picture it shows, in sides of the code. */
const CLOSE_UP = 480;
const SHOWS = 1.8;

function searchCloseUps(picture: Picture, job: Pick<Job, "codes">, longest: number): FoundCode | null {
  const sampler = samplerOf(picture);
  const step = (SHOWS * longest) / CLOSE_UP;
  for (const centre of busiestPlaces(picture, longest)) {
    const [left, top] = [centre.x - (step * (CLOSE_UP - 1)) / 2, centre.y - (step * (CLOSE_UP - 1)) / 2];
    const values = new Float32Array(CLOSE_UP * CLOSE_UP);
    for (let j = 0; j < CLOSE_UP; j++) sampler.line(left, top + step * j, step, 0, CLOSE_UP, values, j * CLOSE_UP);
    const seen = readWindow(values, CLOSE_UP);
    const found = seen && foundOf(seen.read, seen.image, job, ({ x, y }) => ({ x: left + step * (x - 0.5), y: top + step * (y - 0.5) }));
    if (found) return found;
  }
  return null;
}

/** What was read as one of the job's codes; null where it follows none of their patterns. */
function foundOf(read: QRCode, image: DecodedImage, job: Pick<Job, "codes">, inPicture: (p: Corner) => PicturePoint): FoundCode | null {
  const mirrored = isMirrorImage(image, read.location, read.version);
  for (const code of job.codes) {
    const payload = readPayload(code.payload, read.data);
    if (payload) return { payload, corners: cornersOf(code, read.location, mirrored, inPicture) };
  }
  return null;
}

/** jsqr takes any symbol for one seen as printed, and counts from a pixel's corner, we from its centre: `inPicture` takes that into account. */
function cornersOf({ x, y, size }: Code, at: Corners, mirrored: boolean, inPicture: (p: Corner) => PicturePoint): FoundCode["corners"] {
  const half = size / 2;
  const [topRight, bottomLeft] = mirrored ? [at.bottomLeftCorner, at.topRightCorner] : [at.topRightCorner, at.bottomLeftCorner];
  return [
    { print: { x: x - half, y: y + half }, picture: inPicture(at.topLeftCorner) }, { print: { x: x + half, y: y + half }, picture: inPicture(topRight) },
    { print: { x: x + half, y: y - half }, picture: inPicture(at.bottomRightCorner) }, { print: { x: x - half, y: y - half }, picture: inPicture(bottomLeft) },
  ];
}
