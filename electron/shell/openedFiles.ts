import path from "node:path";

/** Endings of the files that can be laid on the desk. Drawings are made jobs of on the page, which asks what is what. */
export const KINDS = ["json", "jpg", "jpeg", "png", "tif", "tiff", "webp", "avif", "heic", "heif"];

/** The files named on a command line (a double click, a drag on the icon, a second start): absolute, of kinds we open, options left out. */
export function filesIn(args: readonly string[], folder: string): string[] {
  return args.filter((one) => !one.startsWith("-") && KINDS.includes(path.extname(one).slice(1).toLowerCase())).map((one) => path.resolve(folder, one));
}
