import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { prepareZXingModule, readBarcodes } from "zxing-wasm/reader";
import { openForViewing } from "../app/viewing.ts";

/** Longer side of the copy that is searched, px: a code on a tool fills a fair part of a photo taken of it. */
const SIDE = 1600;

let prepared: Promise<unknown> | undefined;

/** The reader's own way would fetch its program from the network. */
function prepare(): Promise<unknown> {
  prepared ??= readFile(fileURLToPath(import.meta.resolve("zxing-wasm/reader/zxing_reader.wasm"))).then((wasm) =>
    prepareZXingModule({ overrides: { wasmBinary: wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength) as ArrayBuffer }, fireImmediately: true }));
  return prepared;
}

/** The text of the Data Matrix or QR code on a blade or tool, from a photo of it; null where none can be read. @throws Error where the file is no picture */
export async function readToolCode(path: string): Promise<string | null> {
  const [image] = await Promise.all([openForViewing(path), prepare()]);
  const { data, info } = await image.resize(SIDE, SIDE, { fit: "inside", withoutEnlargement: true }).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  const picture = { data: new Uint8ClampedArray(data), width: info.width, height: info.height, colorSpace: "srgb" as const };
  const found = await readBarcodes(picture as unknown as Parameters<typeof readBarcodes>[0], { formats: ["DataMatrix", "QRCode"], tryHarder: true, tryInvert: true, tryRotate: true, maxNumberOfSymbols: 1 });
  return found.find((code) => code.isValid && code.text !== "")?.text ?? null;
}
