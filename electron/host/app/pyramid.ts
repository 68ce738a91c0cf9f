import { access, mkdir, readdir, readFile, rename, rm, stat, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { openForViewing } from "./viewing.ts";

/** Side of a tile in pixels. */
export const TILE = 512;

/** A picture cut into tiles at halving sizes, so that a screen fetches only what it shows. */
export interface Pyramid {
  readonly width: number;
  readonly height: number;
  readonly tile: number;
  /** Levels 0 (a single pixel) to `levels - 1` (full size); each is half the next, rounded up. */
  readonly levels: number;
}

/** The levels of a picture of this size. */
export function pyramidOf(width: number, height: number): Pyramid {
  return { width, height, tile: TILE, levels: Math.ceil(Math.log2(Math.max(width, height, 1))) + 1 };
}

const building = new Map<string, Promise<void>>();

/**
 * Cuts the picture at `path` into tiles below `folder` (once; later calls return at once, calls meanwhile wait). The tiles
 * appear under their final name only when all are written, so a killed program leaves no half pyramid behind.
 */
export function buildPyramid(path: string, folder: string): Promise<void> {
  const running = building.get(folder);
  if (running) return running;
  const work = build(path, folder).finally(() => building.delete(folder));
  building.set(folder, work);
  return work;
}

async function build(path: string, folder: string): Promise<void> {
  const done = join(folder, "tiles_files");
  if (await exists(done)) return;
  await mkdir(folder, { recursive: true });
  const draft = join(folder, `draft-${process.pid}`);
  const source = await openForViewing(path);
  await source
    .jpeg({ quality: 88, chromaSubsampling: "4:4:4" })
    .tile({ size: TILE, overlap: 0, layout: "dz", container: "fs" })
    .toFile(`${draft}.dz`);
  await rename(`${draft}_files`, done);
  await rm(`${draft}.dzi`, { force: true });
}

/** Pictures whose tiles are kept; those of others are made again when they are looked at. */
const KEPT = 200;

/** Deletes the tiles of all but the pictures that were looked at last for the first time. */
export async function trimTiles(folder: string, kept = KEPT): Promise<void> {
  const names = (await exists(folder)) ? await readdir(folder) : [];
  if (names.length <= kept) return;
  const aged = await Promise.all(names.map(async (name) => ({ name, at: (await stat(join(folder, name))).mtimeMs })));
  for (const { name } of aged.sort((a, b) => b.at - a.at).slice(kept)) await rm(join(folder, name), { recursive: true, force: true });
}

/** The JPEG of one tile, or null where the picture has none. */
export async function readTile(folder: string, level: number, column: number, row: number): Promise<Buffer | null> {
  try {
    return await readFile(join(folder, "tiles_files", String(level), `${column}_${row}.jpeg`));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return null;
    throw error;
  }
}

/** A reduced copy as JPEG, its longer side at most `side` pixels; kept beside the tiles. */
export async function reducedCopy(path: string, folder: string, side: number): Promise<Buffer> {
  const file = join(folder, `reduced-${side}.jpg`);
  if (await exists(file)) return readFile(file);
  await mkdir(folder, { recursive: true });
  const source = await openForViewing(path);
  const bytes = await source.resize({ width: side, height: side, fit: "inside", withoutEnlargement: true }).jpeg({ quality: 82 }).toBuffer();
  const draft = `${file}.${crypto.randomUUID()}.draft`;
  await writeFile(draft, bytes);
  await rename(draft, file);
  return bytes;
}

async function exists(path: string): Promise<boolean> {
  return access(path).then(() => true, () => false);
}
