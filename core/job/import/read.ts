import { refuse, type ReadDrawing } from "./drawing.ts";

/** mm per unit, by the names that people and files give them. */
export const UNITS = { mm: 1, cm: 10, m: 1000, inch: 25.4, pt: 25.4 / 72 } as const;
export type UnitName = keyof typeof UNITS;

/** The boxes of a PDF page that may be taken for the sheet. */
export const BOXES = ["media", "crop", "bleed", "trim"] as const;
export type BoxName = (typeof BOXES)[number];

export interface ReadOptions {
  /** Unit of a DXF file that states none, mm. */
  readonly unit?: number;
  /** Page of a PDF, from 1. */
  readonly page?: number;
  readonly box?: BoxName;
}

/** Larger files are not read into memory, bytes. */
const LARGEST_DRAWING = 400_000_000;

/** Reads a drawing by what it begins with; its name only decides what that does not. The readers are loaded when one is needed. */
export async function readDrawing(bytes: Uint8Array, name: string, options: ReadOptions = {}): Promise<ReadDrawing> {
  if (bytes.length > LARGEST_DRAWING) return refuse(`The drawing is larger than ${LARGEST_DRAWING / 1e6} MB.`, "Export the cut and crease layers only.");
  const head = decodeText(bytes.subarray(0, 1024));
  const kind = /\.[a-z]+$/i.exec(name)?.[0].toLowerCase();
  if (head.includes("%PDF-") || (kind === ".pdf" && !head.includes("<svg"))) return (await import("./pdf.ts")).readPdf(bytes, options);
  const text = decodeText(bytes);
  if (kind === ".svg" || /^\s*</.test(text.replace(/^\uFEFF/, "").slice(0, 200))) return (await import("./svg.ts")).readSvg(text);
  return (await import("./dxf.ts")).readDxf(text, options);
}

function decodeText(bytes: Uint8Array): string {
  const wide = bytes[0] === 0xff && bytes[1] === 0xfe ? "utf-16le" : bytes[0] === 0xfe && bytes[1] === 0xff ? "utf-16be" : "utf-8";
  return new TextDecoder(wide).decode(bytes);
}
