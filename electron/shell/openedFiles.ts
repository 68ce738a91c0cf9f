import path from "node:path";

const KINDS: ReadonlySet<string> = new Set([".json", ".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".avif", ".heic", ".dxf", ".svg", ".pdf"]);

/** The files named on a command line (a double click, a drag on the icon, a second start): absolute, of kinds we open, options left out. */
export function filesIn(args: readonly string[], folder: string): string[] {
  return args.filter((one) => !one.startsWith("-") && KINDS.has(path.extname(one).toLowerCase())).map((one) => path.resolve(folder, one));
}
