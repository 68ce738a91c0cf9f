import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp, { type Sharp } from "sharp";
import { describe, expect, it } from "vitest";
import { decodePicture } from "../../../../electron/host/pictures/decode.ts";
import { PictureFault } from "../../../../electron/host/pictures/fault.ts";
import { HEIGHT, QUARTERS, quarters, quarterSamples, WIDTH } from "./files.ts";

const RGB: number[][] = QUARTERS.map((q) => [...q]);

/** Largest difference between the four quarters of a decoded picture and what they should be, in 8-bit steps. */
async function worst(file: Sharp | Buffer, wanted = RGB): Promise<number> {
  const picture = await decodePicture(Buffer.isBuffer(file) ? file : await file.toBuffer());
  expect([picture.width, picture.height]).toEqual([WIDTH, HEIGHT]);
  const scale = picture.data instanceof Uint16Array ? 257 : 1;
  const got = quarterSamples(picture).map((q) => q.map((v) => v / scale));
  return Math.max(...got.map((q, i) => (q.length === wanted[i].length ? Math.max(...q.map((v, c) => Math.abs(v - wanted[i][c]))) : Infinity)));
}

async function refusal(source: string | Uint8Array, maxPixels?: number) {
  const fault = await decodePicture(source, { maxPixels }).then(
    () => undefined,
    (error: unknown) => error,
  );
  expect(fault).toBeInstanceOf(PictureFault);
  return (fault as PictureFault).refusal;
}

describe("kinds of file", () => {
  const deep = () => quarters().toColourspace("rgb16");
  const lossless: [string, () => Sharp][] = [
    ["PNG", () => quarters().png()],
    ["PNG with a palette", () => quarters().png({ palette: true })],
    ["TIFF uncompressed", () => quarters().tiff({ compression: "none" })],
    ["TIFF LZW with predictor", () => quarters().tiff({ compression: "lzw", predictor: "horizontal" })],
    ["TIFF deflate", () => quarters().tiff({ compression: "deflate" })],
    ["TIFF tiled, as a pyramid", () => quarters().tiff({ compression: "lzw", tile: true, pyramid: true })],
    ["WebP", () => quarters().webp({ lossless: true })],
  ];
  it.each(lossless)("%s comes out exactly", async (_name, file) => expect(await worst(file())).toBe(0));

  const lossy: [string, () => Sharp][] = [
    ["JPEG", () => quarters().jpeg({ quality: 95 })],
    ["AVIF", () => quarters().avif({ quality: 90 })],
    ["TIFF with JPEG inside", () => quarters().tiff({ compression: "jpeg", quality: 95 })],
    ["PNG of 16 bits", () => deep().png()],
    ["TIFF of 16 bits", () => deep().tiff({ compression: "lzw" })],
  ];
  it.each(lossy)("%s comes out within a step", async (_name, file) => expect(await worst(file())).toBeLessThanOrEqual(1.01));

  it("keeps 16 bits", async () => {
    expect((await decodePicture(await deep().png().toBuffer())).data).toBeInstanceOf(Uint16Array);
  });

  it.each([
    ["JPEG", (s: Sharp) => s.toColourspace("cmyk").jpeg({ quality: 95 })],
    ["TIFF", (s: Sharp) => s.toColourspace("cmyk").tiff({ compression: "lzw" })],
  ])("CMYK %s becomes RGB: the press gamut holds no pure red, so within a press's reach only", async (_name, save) => {
    expect(await worst(save(quarters()))).toBeLessThan(60);
  });

  it.each([
    ["JPEG", (s: Sharp) => s.jpeg({ quality: 95 }), Uint8Array],
    ["PNG", (s: Sharp) => s.png(), Uint8Array],
    ["TIFF", (s: Sharp) => s.tiff({ compression: "lzw" }), Uint8Array],
    ["16-bit TIFF", (s: Sharp) => s.toColourspace("grey16").tiff({ compression: "lzw" }), Uint16Array],
  ])("a grey %s is one channel", async (_name, save, kind) => {
    const grey = quarters().greyscale();
    const reference = await grey.clone().toColourspace("b-w").raw().toBuffer();
    const picture = await decodePicture(await save(grey.toColourspace("b-w")).toBuffer());
    expect(picture.channels).toBe(1);
    expect(picture.data).toBeInstanceOf(kind);
    const scale = picture.data instanceof Uint16Array ? 256 : 1;
    expect(Math.abs(picture.data[0] / scale - reference[0])).toBeLessThan(1.1);
  });

  it("lays alpha over white", async () => {
    const half = RGB.map((q) => q.map((v) => 255 - (255 - v) / 2));
    expect(await worst(quarters().ensureAlpha(0.5).png(), half)).toBeLessThanOrEqual(1);
  });

  it("reads a HEIC file (made by heif-enc 1.15.1 from the test picture)", async () => {
    const bytes = await readFile(new URL("quarters.heic", import.meta.url));
    expect(await worst(bytes)).toBeLessThanOrEqual(2);
    expect((await refusal(bytes.subarray(0, 1000))).code).toBe("image-unreadable");
    expect((await refusal(bytes, 15_000)).code).toBe("image-too-large");
  });
});

describe("orientation", () => {
  // How each EXIF orientation stores an upright picture (EXIF 2.32 tag 0x0112, from memory); sharp flips before it turns.
  const stored: [number, (s: Sharp) => Sharp][] = [
    [1, (s) => s],
    [2, (s) => s.flop()],
    [3, (s) => s.rotate(180)],
    [4, (s) => s.flip()],
    [5, (s) => s.flip().rotate(90)],
    [6, (s) => s.rotate(270)],
    [7, (s) => s.flip().rotate(270)],
    [8, (s) => s.rotate(90)],
  ];
  it.each(stored)("%i stands upright", async (orientation, store) => {
    const turned = await store(quarters()).png().toBuffer();
    for (const save of [(s: Sharp) => s.jpeg({ quality: 95 }), (s: Sharp) => s.png(), (s: Sharp) => s.tiff({ compression: "lzw" })]) {
      const file = await save(sharp(turned).withMetadata({ orientation })).toBuffer();
      expect(await worst(file)).toBeLessThanOrEqual(1);
    }
  });
});

describe("what the file says", () => {
  it("gives density and camera", async () => {
    const exif = { IFD0: { Make: "Seedling", Model: "S-1" }, IFD2: { FocalLength: "42/10", FocalLengthIn35mmFilm: "27", DateTimeOriginal: "2026:03:04 05:06:07" } };
    const picture = await decodePicture(await quarters().withExif(exif).withMetadata({ density: 300 }).jpeg().toBuffer());
    expect(picture.density).toEqual({ x: 300, y: 300 });
    const bare = await decodePicture(await quarters().withExif(exif).jpeg().toBuffer());
    expect(bare.exif).toMatchObject({ make: "Seedling", model: "S-1", focalLength: 4.2, takenAt: "2026-03-04T05:06:07" });
  });

  it("takes samples as they are under profiles with sRGB's tone curve", async () => {
    const file = await quarters().withIccProfile("p3").png().toBuffer();
    const raw = await sharp(file, { ignoreIcc: true }).raw().toBuffer();
    const picture = await decodePicture(file);
    expect(quarterSamples(picture)[0]).toEqual([...raw.subarray(3 * (25 * WIDTH + 37), 3 * (25 * WIDTH + 37) + 3)]);
  });

  it("warns of further pages", async () => {
    const { data } = await quarters().raw().toBuffer({ resolveWithObject: true });
    const two = sharp(Buffer.concat([data, data]), { raw: { width: WIDTH, height: 2 * HEIGHT, channels: 3, pageHeight: HEIGHT } });
    const picture = await decodePicture(await two.tiff({ compression: "lzw" }).toBuffer());
    expect([picture.height, picture.warnings.length]).toEqual([HEIGHT, 1]);
  });
});

describe("what is no picture", () => {
  it.each([
    ["JPEG", (s: Sharp) => s.jpeg()],
    ["PNG", (s: Sharp) => s.png()],
    ["TIFF", (s: Sharp) => s.tiff({ compression: "lzw" })],
    ["WebP", (s: Sharp) => s.webp()],
    ["AVIF", (s: Sharp) => s.avif()],
  ])("a %s that ends early, anywhere", async (_name, save) => {
    const bytes = await save(quarters()).toBuffer();
    for (const share of [0, 0.05, 0.3, 0.6, 0.9]) {
      const { code, message } = await refusal(bytes.subarray(0, Math.floor(share * bytes.length)));
      expect(code).toBe("image-unreadable");
      expect(message).toMatch(/empty|ends too early|damaged|not that of a picture/);
    }
  });

  it("text, drawings, nothing, a folder", async () => {
    expect((await refusal(Buffer.from("not a picture at all"))).message).toContain("not that of a picture");
    expect((await refusal(Buffer.from("<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>"))).message).toContain("SVG");
    expect((await refusal(new Uint8Array())).message).toContain("empty");
    expect((await refusal(import.meta.dirname)).message).toContain("folder");
    const folder = await mkdtemp(join(tmpdir(), "kerfmark-empty-"));
    await writeFile(join(folder, "empty.jpg"), "");
    expect((await refusal(join(folder, "empty.jpg"))).message).toContain("the file is empty");
    await rm(folder, { recursive: true });
  });

  it("too many pixels, told before anything is decoded", async () => {
    const { code, message } = await refusal(await quarters().png().toBuffer(), 15_000);
    expect(code).toBe("image-too-large");
    expect(message).toContain("150 x 101");
  });
});
