/// <reference path="./qrcodeCore.d.ts" />
import qrcode from "qrcode/lib/core/qrcode.js";

/** The modules of a QR symbol, row by row from the upper left; 1 is dark. */
export interface QrSymbol {
  /** Modules along a side, without the quiet zone. */
  readonly count: number;
  readonly dark: Uint8Array;
  /** 1 to 40: the size class. */
  readonly version: number;
}

/**
 * The QR symbol of a text (ISO/IEC 18004, error correction M). `version` asks for a size class, so that a series of texts gets symbols of one size; null
 * where the text does not fit it, or any.
 */
export function qrSymbol(text: string, version?: number): QrSymbol | null {
  try {
    const symbol = qrcode.create(text, { errorCorrectionLevel: "M", ...(version === undefined ? {} : { version }) });
    return { count: symbol.modules.size, dark: Uint8Array.from(symbol.modules.data, (v) => (v ? 1 : 0)), version: symbol.version };
  } catch (error) {
    // The package throws for a text that is too long (its only fault of the text's own), and for nothing else that a caller can mend.
    if (error instanceof Error && /too big|cannot contain/i.test(error.message)) return null;
    throw error;
  }
}
