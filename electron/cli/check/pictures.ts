import { glob, readdir, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import { MissingFault } from "../exit.ts";

/** A picture to measure: where it is, and the name that goes into its record. */
export interface NamedPicture {
  readonly path: string;
  readonly name: string;
}

const PICTURE = /\.(jpe?g|png|tiff?|webp|avif|heic|heif)$/i;

/**
 * The pictures that the arguments mean, in their order: files, folders (the pictures in them) and patterns such as scans/*.tif (for shells
 * that do not expand them). Those of a folder or a pattern come in the order of their numbers: sheet-9 before sheet-10.
 * @throws MissingFault for a name without a file, before anything is measured
 */
export async function picturesOf(names: readonly string[]): Promise<NamedPicture[]> {
  const paths = (await Promise.all(names.map(expand))).flat();
  const seen = new Map<string, number>();
  for (const path of paths) seen.set(basename(path), (seen.get(basename(path)) ?? 0) + 1);
  return paths.map((path) => ({ path, name: seen.get(basename(path)) === 1 ? basename(path) : path }));
}

async function expand(name: string): Promise<string[]> {
  const facts = await stat(name).catch(() => undefined);
  if (facts?.isDirectory()) {
    const inside = (await readdir(name)).filter((file) => PICTURE.test(file)).sort(byNumber);
    if (inside.length === 0) throw new MissingFault(`There are no pictures in the folder ${name}.`, "Name a folder with JPEG, PNG, TIFF, WebP, AVIF or HEIC files.");
    return inside.map((file) => join(name, file));
  }
  if (facts) return [name];
  const matches: string[] = [];
  for await (const file of /[*?[{]/.test(name) ? glob(name) : []) if (PICTURE.test(file)) matches.push(file);
  if (matches.length === 0) throw new MissingFault(`There is no picture ${name}.`, "Check the name and the folder.");
  return matches.sort(byNumber);
}

function byNumber(a: string, b: string): number {
  return a.localeCompare(b, "en", { numeric: true });
}
