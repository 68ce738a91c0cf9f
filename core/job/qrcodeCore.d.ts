/** The part of the package qrcode that computes a symbol and nothing else (its main entry draws to files and canvases). */
declare module "qrcode/lib/core/qrcode.js" {
  interface Symbol {
    readonly version: number;
    readonly modules: { readonly size: number; readonly data: Uint8Array };
  }
  const core: { create(text: string, options: { readonly errorCorrectionLevel: "L" | "M" | "Q" | "H"; readonly version?: number }): Symbol };
  export default core;
}
