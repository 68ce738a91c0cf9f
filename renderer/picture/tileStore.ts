import type { Pyramid } from "../../electron/host/app/pyramid.ts";

/** Tiles kept decoded: 96 of 512 x 512 are about 100 MB. */
const KEPT = 96;
/** Tiles asked for at a time. */
const AT_ONCE = 6;

/** The tiles of one picture: fetched when drawn, decoded off the main thread, the longest unused dropped. */
export class TileStore {
  readonly pyramid: Pyramid;
  readonly #base: string;
  readonly #arrived: () => void;
  readonly #tiles = new Map<string, ImageBitmap>();
  readonly #asked = new Map<string, AbortController>();
  readonly #missing = new Set<string>();
  #wanted: string[] = [];
  #closed = false;

  /** @param base address of the picture's tiles; @param arrived called when a tile can be drawn that could not before. */
  constructor(pyramid: Pyramid, base: string, arrived: () => void) {
    this.pyramid = pyramid;
    this.#base = base;
    this.#arrived = arrived;
  }

  /** The tile if it is here; drawing it counts as use. */
  get(level: number, column: number, row: number): ImageBitmap | undefined {
    const key = `${level}/${column}/${row}`;
    const tile = this.#tiles.get(key);
    if (tile) {
      this.#tiles.delete(key);
      this.#tiles.set(key, tile);
    }
    return tile;
  }

  /** Says which tiles the present view wants, most wanted first; whatever else was asked for is called off. */
  want(keys: string[]): void {
    this.#wanted = keys.filter((key) => !this.#tiles.has(key) && !this.#missing.has(key));
    const wanted = new Set(this.#wanted);
    for (const [key, asked] of this.#asked) if (!wanted.has(key)) asked.abort();
    this.#ask();
  }

  close(): void {
    this.#closed = true;
    for (const asked of this.#asked.values()) asked.abort();
    for (const tile of this.#tiles.values()) tile.close();
    this.#tiles.clear();
  }

  #ask(): void {
    for (const key of this.#wanted) {
      if (this.#asked.size >= AT_ONCE) return;
      if (!this.#asked.has(key) && !this.#tiles.has(key) && !this.#missing.has(key)) void this.#fetch(key);
    }
  }

  async #fetch(key: string): Promise<void> {
    const stopper = new AbortController();
    this.#asked.set(key, stopper);
    try {
      const answer = await fetch(`${this.#base}/${key}`, { signal: stopper.signal });
      if (!answer.ok) throw new Error(`tile ${key}: ${answer.status}`);
      const tile = await createImageBitmap(await answer.blob());
      if (this.#closed) return tile.close();
      this.#tiles.set(key, tile);
      this.#drop();
      this.#arrived();
    } catch {
      // The reduced copy stays in its place; a tile that failed is not asked for again while this picture is open.
      if (!stopper.signal.aborted) this.#missing.add(key);
    } finally {
      this.#asked.delete(key);
      if (!this.#closed) this.#ask();
    }
  }

  #drop(): void {
    for (const [key, tile] of this.#tiles) {
      if (this.#tiles.size <= KEPT) return;
      tile.close();
      this.#tiles.delete(key);
    }
  }
}
