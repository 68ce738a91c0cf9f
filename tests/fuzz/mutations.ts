import { readFileSync } from "node:fs";
import { deflateSync } from "node:zlib";
import { PDFDocument, PDFName } from "pdf-lib";
import { exportDxf } from "../../core/job/export/dxf.ts";
import { exportPdf } from "../../core/job/export/pdf.ts";
import { exportSvg } from "../../core/job/export/svg.ts";
import { readJob } from "../../core/job/read.ts";
import { uniform } from "../support/gaussian.ts";

export const FORMATS = ["svg", "dxf", "pdf"] as const;
export type Format = (typeof FORMATS)[number];

const SVG = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="9cm" height="50mm" viewBox="0 0 100 50"><style>.k{stroke:#F0F}</style><defs><g id="d"><rect width="50%" height="3mm" rx="1"/></g></defs><symbol id="s" viewBox="0 0 9 9"><circle r="4"/></symbol><g id="Cut" transform="rotate(3) matrix(1 0 0 1 2 3)"><path id="p" class="k" d="M0 0a5 5 0 0 1 9 9zM1 1q3 4 5 6t3 3c1 2 3 4 5 6s1 2 3 4H5V6"/><use href="#p" x="5"/><use xlink:href="#s" width="9" height="20"/><polygon points="1,2 3,4 5,9"/><ellipse rx="3" ry="9"/><svg x="3" width="40%" height="9" viewBox="0 0 1 1"><line x2="1" y2="1"/></svg></g></svg>`;
const DXF = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n8\n0\n2\nB\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n3\n20\n3\n40\n2\n0\nENDBLK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nARC\n8\nCUT\n10\n5\n20\n5\n40\n9\n50\n0\n51\n90\n0\nLWPOLYLINE\n8\nCUT\n70\n1\n10\n0\n20\n0\n42\n0.5\n10\n9\n20\n0\n10\n9\n20\n9\n0\nINSERT\n8\nCUT\n2\nB\n10\n5\n20\n5\n41\n2\n42\n-1\n50\n30\n70\n3\n71\n2\n44\n9\n45\n9\n0\nELLIPSE\n8\nCUT\n10\n0\n20\n0\n11\n5\n21\n1\n40\n0.3\n41\n0\n42\n3\n0\nSPLINE\n8\nB\n71\n3\n40\n0\n40\n0\n40\n0\n40\n0\n40\n1\n40\n1\n40\n1\n40\n1\n10\n0\n20\n0\n10\n1\n20\n5\n10\n3\n20\n5\n10\n9\n20\n0\n0\nENDSEC\n0\nEOF\n";

/** What a mutation may put in: numbers at the ends of every range, and words that make a reader do something. */
const WORDS: Readonly<Record<Format, readonly string[]>> = {
  svg: ["1e999", "-1", "NaN", "99999999999", "0", "%", "mm", "<use href='#p'/>", "<use href='#Cut'/>", "transform='scale(1e9)'", "<![CDATA[", "]]>", "<!ENTITY a '&a;&a;'>", "&a;", "viewBox='0 0 0 0'", "A1 1 0 0 1 ", "M", "z", "</g>", "<g>", "<script>", "url(http://x)"],
  dxf: ["1e999\n", "-1\n", "nan\n", "99999999999\n", "0\nINSERT\n2\nB\n70\n30000\n71\n30000\n", "0\nBLOCK\n2\nB\n", "0\nINSERT\n2\nB\n", "0\nSECTION\n", "0\nENDSEC\n", "0\nPOLYLINE\n", "0\nVERTEX\n10\n1\n20\n2\n", "71\n30\n", "40\n1e9\n", "\r", "\n\n"],
  pdf: ["1e999", "-1", "99999999999", " re f ", " q ", " Q ", " 1 0 0 1 0 0 cm ", " /F Do ", " /OC /cuts BDC ", " EMC ", "<<", ">>", " 0 R", "endobj", "stream\n", "endstream", "/Filter /FlateDecode", "/Kids [1 0 R 1 0 R]", "/UserUnit 0", "/Rotate 45", "BI ID EI", "(", ")", "[", "]", " h S "],
};

/** Whole files of a format: hand-written ones that hold every kind of thing, and what Kerfmark itself writes. */
export async function seedsOf(format: Format): Promise<Uint8Array[]> {
  const read = readJob(readFileSync(new URL("../../samples/TRAY-7.job.json", import.meta.url), "utf8"));
  if (!read.ok) throw new Error("The demo job cannot be read.");
  const job = { ...read.job, cuts: read.job.cuts.slice(0, 4) };
  const bytes = (made: { ok: true; file: Uint8Array | string } | { ok: false; reason: string }): Uint8Array => {
    if (!made.ok) throw new Error(made.reason);
    return typeof made.file === "string" ? new TextEncoder().encode(made.file) : made.file;
  };
  if (format === "svg") return [new TextEncoder().encode(SVG), bytes(exportSvg(job))];
  if (format === "dxf") return [new TextEncoder().encode(DXF), bytes(exportDxf(job))];
  return [await plainPdf(false), await plainPdf(true), bytes(await exportPdf(job))];
}

/** A page with a form in a form, curves, a clipping path and an inline picture, whose content can be damaged as text, or only as packed bytes. */
async function plainPdf(packed: boolean): Promise<Uint8Array> {
  const document = await PDFDocument.create({ updateMetadata: false });
  const page = document.addPage([300, 200]);
  const content = "q 1 0 0 1 9 9 cm 0 0 m 9 9 20 4 30 30 c 3 3 l h S /F Do Q 10 10 50 20 re W n 20 20 m 30 40 50 60 v 5 6 7 8 y b* BI /W 1 /H 1 ID x EI /CS0 cs 1 scn 5 5 40 40 re f";
  const stream = (text: string, dict: Record<string, unknown> = {}) => document.context.register(packed
    ? document.context.stream(deflateSync(text), { ...dict, Filter: "FlateDecode" } as never)
    : document.context.stream(text, dict as never));
  const form = stream("0 0 m 5 5 l S", { Type: "XObject", Subtype: "Form", BBox: [0, 0, 9, 9], Matrix: [2, 0, 0, 2, 1, 1] });
  page.node.set(PDFName.of("Contents"), stream(content));
  page.node.set(PDFName.of("Resources"), document.context.obj({ XObject: { F: form }, ColorSpace: { CS0: ["Separation", "Cut", "DeviceCMYK", { FunctionType: 2, Domain: [0, 1], N: 1 }] } }));
  return document.save({ useObjectStreams: packed });
}

/** The index-th damaged file of a format: the same for the same seed. One to six places are replaced, cut out, repeated, swapped or have a word put in. */
export function mutation(format: Format, seeds: readonly Uint8Array[], seed: number, index: number): Uint8Array {
  const random = uniform(seed * 7919 + index);
  const whole = (n: number) => Math.floor(random() * n);
  let bytes = [...seeds[whole(seeds.length)]];
  for (let hits = 1 + whole(6); hits > 0; hits--) {
    const at = whole(bytes.length + 1);
    const length = random() < 0.8 ? whole(30) : whole(bytes.length - at + 1);
    const kind = whole(5);
    const part = bytes.slice(at, at + length);
    const word = [...new TextEncoder().encode(WORDS[format][whole(WORDS[format].length)])];
    const middle = kind === 0 ? [whole(256)] : kind === 1 ? [] : kind === 2 ? [...part, ...part] : kind === 3 ? word : [...part].reverse();
    bytes = [...bytes.slice(0, at), ...middle, ...bytes.slice(at + (kind === 0 ? 1 : kind === 3 ? 0 : length))];
    if (bytes.length > 4_000_000) bytes = bytes.slice(0, 4_000_000);
  }
  return Uint8Array.from(bytes);
}
