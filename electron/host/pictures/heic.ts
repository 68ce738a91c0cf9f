import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { tooLarge, unreadable } from "./fault.ts";

const load = createRequire(import.meta.url);

/** What we use of heic-decode, which comes without types. */
interface HeicDecode {
  all(input: { buffer: Uint8Array }): Promise<HeicImage[] & { dispose(): void }>;
}

interface HeicImage {
  readonly width: number;
  readonly height: number;
  decode(): Promise<{ readonly data: Uint8ClampedArray }>;
}

export interface HeicPixels {
  readonly width: number;
  readonly height: number;
  /** Interleaved RGB over white. */
  readonly data: Uint8Array;
}

/**
 * Decodes the main picture of a HEIC file (HEVC inside HEIF), which sharp's own build cannot. libheif applies the file's own turn and
 * mirror, so an EXIF orientation must not be applied again. Blocks its thread for about 0.1 s per megapixel.
 * @throws PictureFault
 */
export async function decodeHeic(source: string | Uint8Array, maxPixels: number): Promise<HeicPixels> {
  // Loaded here, not above: 2 MB of WebAssembly that few pictures need.
  const heicDecode = load("heic-decode") as HeicDecode;
  const buffer = typeof source === "string" ? await readFile(source) : source;
  const images = await heicDecode.all({ buffer }).catch((error: Error) => {
    throw unreadable(`its HEIC content is damaged (${error.message})`);
  });
  try {
    const { width, height } = images[0];
    if (width * height > maxPixels) throw tooLarge(width, height, maxPixels);
    const { data } = await quietly(() => images[0].decode()).catch((error: Error) => {
      throw unreadable(`its HEIC content is damaged or ends too early (${error.message})`, "Copy the file again, or take the picture again.");
    });
    return { width, height, data: overWhite(data, width * height) };
  } finally {
    images.dispose();
  }
}

/** The library writes its failures to standard output as well, where nothing but records may stand. */
async function quietly<T>(work: () => Promise<T>): Promise<T> {
  const log = console.log;
  console.log = () => undefined;
  try {
    return await work();
  } finally {
    console.log = log;
  }
}

function overWhite(rgba: Uint8ClampedArray, pixels: number): Uint8Array {
  const rgb = new Uint8Array(3 * pixels);
  for (let i = 0, from = 0, to = 0; i < pixels; i++, from += 4, to += 3) {
    const alpha = rgba[from + 3];
    if (alpha === 255) {
      rgb[to] = rgba[from];
      rgb[to + 1] = rgba[from + 1];
      rgb[to + 2] = rgba[from + 2];
    } else {
      for (let c = 0; c < 3; c++) rgb[to + c] = 255 + ((rgba[from + c] - 255) * alpha) / 255 + 0.5;
    }
  }
  return rgb;
}
