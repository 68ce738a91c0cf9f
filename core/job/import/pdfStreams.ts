/// <reference path="./pako.d.ts" />
import pako from "pako";
import { decodePDFRawStream, PDFArray, PDFDict, PDFName, PDFObjectStreamParser, PDFRawStream, PDFXRefStreamParser } from "pdf-lib";
import { TooLarge } from "./drawing.ts";

/** Most that the packed objects of a file may unpack to, bytes. */
const MOST_OBJECTS = 256_000_000;
const PIECE = 1 << 16;

/**
 * Unpacks a stream, but no further than `most` bytes: a thousand times its size can be packed into a file, and as often again in what that unpacks to.
 * @throws TooLarge past `most`, Error for damaged data or a kind of packing that is not for lines.
 */
export function unpack(stream: PDFRawStream, most: number): Uint8Array {
  const filter = stream.dict.lookup(PDFName.of("Filter"));
  const names = filter instanceof PDFName ? [filter] : filter instanceof PDFArray ? filter.asArray().map((_, i) => filter.lookup(i, PDFName)) : [];
  return names.reduce<Uint8Array>((bytes, name) => (name === PDFName.of("FlateDecode") ? inflate(bytes, most) : unpackOne(bytes, name, stream.dict, most)), stream.contents);
}

function inflate(bytes: Uint8Array, most: number): Uint8Array {
  const inflator = new pako.Inflate({ chunkSize: PIECE });
  const pieces: Uint8Array[] = [];
  let size = 0;
  inflator.onData = (piece) => {
    size += piece.length;
    if (size > most) throw new TooLarge();
    pieces.push(piece);
  };
  inflator.push(bytes, true);
  // A wrong sum at the end comes when all data has been unpacked, and is common; anything else leaves lines out.
  if (inflator.err !== 0 && inflator.msg !== "incorrect data check") throw new Error("a packed stream is damaged");
  return joined(pieces, size);
}

/** The package's own decoders for the other filters, a piece at a time. */
function unpackOne(bytes: Uint8Array, filter: PDFName, dict: PDFDict, most: number): Uint8Array {
  const decoder = decodePDFRawStream(PDFRawStream.of(PDFDict.fromMapWithContext(new Map([[PDFName.of("Filter"), filter]]), dict.context), bytes));
  const pieces: Uint8Array[] = [];
  let size = 0;
  for (;;) {
    const piece = Uint8Array.from(decoder.getBytes(PIECE));
    if (piece.length === 0) return joined(pieces, size);
    size += piece.length;
    if (size > most) throw new TooLarge();
    pieces.push(piece);
  }
}

function joined(pieces: readonly Uint8Array[], size: number): Uint8Array {
  const all = new Uint8Array(size);
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/**
 * Makes the package safe to load hostile files with. It parses the whole list of places in a cross-reference stream, of which the file states the length
 * (1e12 at will), and then has no use for it; and it unpacks streams of objects without end. Called before every load; once is enough.
 */
export function guardLoading(): void {
  if (guarded) return;
  guarded = true;
  PDFXRefStreamParser.forStream = ({ dict }) => {
    const parseIntoContext = () => {
      const entry = (key: string) => dict.get(PDFName.of(key));
      dict.context.trailerInfo = { Root: entry("Root"), Encrypt: entry("Encrypt"), Info: entry("Info"), ID: entry("ID") };
      return [];
    };
    return { parseIntoContext } as unknown as PDFXRefStreamParser;
  };
  const parserOf = PDFObjectStreamParser.forStream;
  PDFObjectStreamParser.forStream = (stream, wait) => {
    const plain = new Map(stream.dict.asMap());
    plain.delete(PDFName.of("Filter"));
    plain.delete(PDFName.of("DecodeParms"));
    return parserOf(PDFRawStream.of(PDFDict.fromMapWithContext(plain, stream.dict.context), unpack(stream, MOST_OBJECTS)), wait);
  };
}
let guarded = false;
