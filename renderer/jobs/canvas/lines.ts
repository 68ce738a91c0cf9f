import Flatbush from "flatbush";

/** A connected run of straight edges that belongs to one owner: a group of a drawing, or a cut of a job. Print frame, mm. */
export interface Run {
  readonly owner: number;
  readonly points: readonly { readonly x: number; readonly y: number }[];
  readonly closed: boolean;
}

/** The same lines at one fineness. Everything is flat arrays, so that it crosses from the worker without being copied. */
export interface Level {
  /** Vertices lie on a grid of this pitch, mm; 0 = as they are. */
  readonly grid: number;
  /** x0, y0, x1, y1 of each segment; a segment often begins where the one before it ended. */
  readonly segments: Float32Array<ArrayBuffer>;
  /** First segment of each chunk, and one past the last. A chunk has one owner and is what the index finds. */
  readonly chunks: Uint32Array<ArrayBuffer>;
  readonly owners: Uint32Array<ArrayBuffer>;
  /** Flatbush over the chunks' boxes. */
  readonly index: ArrayBuffer;
}

export interface Lines {
  /** As drawn. */
  readonly segments: number;
  /** The finest first. */
  readonly levels: readonly Level[];
}

/** Segments of a chunk at most. */
const CHUNK = 128;
/** Cells along the drawing's longer side, by which its runs are put in order. */
const CELLS = 48;
/** Pitches of the coarser grids as parts of the drawing's longer side: half a pixel on screens 375 to 3000 pixels wide. */
const PITCHES = [6000, 3000, 1500, 750] as const;
/** A coarser level is kept where it saves this share of the segments. */
const WORTHWHILE = 0.75;

/**
 * Prepares lines for drawing at any zoom. On a grid of half a pixel an edge that vanishes is not drawn and edges that coincide are drawn once, so
 * that a crowded drawing costs no more than there are pixels to show it.
 */
export function buildLines(drawn: readonly Run[]): Lines | null {
  const runs = inPlace(drawn.filter((r) => r.points.length > 1));
  const finest = levelOf(runs, 0, 1, Infinity);
  if (finest === null) return null;
  const index = Flatbush.from(finest.index);
  const extent = Math.max(index.maxX - index.minX, index.maxY - index.minY, 1e-3);
  const levels = [finest];
  for (const pitch of PITCHES) {
    const last = levels[levels.length - 1];
    const level = levelOf(runs, extent / pitch, extent, (WORTHWHILE * last.segments.length) / 4);
    if (level) levels.push(level);
  }
  return { segments: finest.segments.length / 4, levels };
}

/** What has to be handed over, rather than copied, when lines are posted from a worker. */
export function buffersOf(lines: Lines): ArrayBuffer[] {
  return lines.levels.flatMap((l) => [l.segments.buffer, l.chunks.buffer, l.owners.buffer, l.index]);
}

/** The lines on a grid; null where there are none, or more than `most` segments of them. */
function levelOf(runs: readonly Run[], grid: number, extent: number, most: number): Level | null {
  const edges = runs.reduce((sum, r) => sum + r.points.length + 1, 0);
  // All there may be, taken at once: a growing list would be copied again and again.
  const segments = new Float32Array(4 * edges);
  let count = 0;
  const chunks: number[] = [];
  const owners: number[] = [];
  const seen = grid > 0 ? new Seen(grid, extent, edges) : null;
  const add = (owner: number, x0: number, y0: number, x1: number, y1: number) => {
    const last = chunks.length - 1;
    if (last < 0 || owners[last] !== owner || count - chunks[last] >= CHUNK) {
      chunks.push(count);
      owners.push(owner);
    }
    segments[4 * count] = x0;
    segments[4 * count + 1] = y0;
    segments[4 * count + 2] = x1;
    segments[4 * count + 3] = y1;
    count++;
  };
  for (const { owner, points, closed } of runs) {
    if (count > most) return null;
    let x0 = snapped(points[0].x, grid);
    let y0 = snapped(points[0].y, grid);
    let vanished = true;
    const last = closed ? points.length : points.length - 1;
    for (let i = 1; i <= last; i++) {
      const p = points[i % points.length];
      const x1 = snapped(p.x, grid);
      const y1 = snapped(p.y, grid);
      if (x1 === x0 && y1 === y0) continue;
      vanished = false;
      if (!seen || seen.isNew(owner, x0, y0, x1, y1)) add(owner, x0, y0, x1, y1);
      x0 = x1;
      y0 = y1;
    }
    // A run that vanishes on the grid still leaves its dot, half a pitch wide.
    if (vanished && seen?.isNew(owner, x0, y0, x0, y0)) add(owner, x0, y0, x0 + grid / 2, y0);
  }
  return count === 0 ? null : packed(grid, segments.slice(0, 4 * count), chunks, owners);
}

/** Runs of one owner in rows of cells across the drawing, so that a chunk's lines lie near one another. */
function inPlace(runs: readonly Run[]): Run[] {
  const starts = runs.map((r) => r.points[0]);
  const [left, bottom] = [starts.reduce((v, p) => Math.min(v, p.x), Infinity), starts.reduce((v, p) => Math.min(v, p.y), Infinity)];
  const cell = Math.max(starts.reduce((v, p) => Math.max(v, p.x - left, p.y - bottom), 0) / CELLS, 1e-6);
  const key = ({ owner, points: [p] }: Run) => (owner * (CELLS + 1) + Math.floor((p.y - bottom) / cell)) * (CELLS + 1) + Math.floor((p.x - left) / cell);
  return runs.map((run) => ({ run, at: key(run) })).sort((a, b) => a.at - b.at).map(({ run }) => run);
}

function snapped(v: number, grid: number): number {
  return grid === 0 ? v : Math.round(v / grid) * grid;
}

/**
 * Which edges between grid points were met before, whichever way they were drawn: a table with open addressing, several times as fast here as a Set of
 * numbers too large for small integers.
 */
class Seen {
  readonly #keys: Float64Array;
  readonly #owners: Uint32Array;
  readonly #mask: number;
  readonly #grid: number;
  readonly #across: number;

  /** `most`: edges that will be asked about at most. */
  constructor(grid: number, extent: number, most: number) {
    this.#grid = grid;
    this.#across = Math.ceil(extent / grid) + 2;
    const size = 2 ** Math.ceil(Math.log2(2 * most + 2));
    this.#keys = new Float64Array(size).fill(-1);
    this.#owners = new Uint32Array(size);
    this.#mask = size - 1;
  }

  isNew(owner: number, x0: number, y0: number, x1: number, y1: number): boolean {
    const a = this.#cell(x0, y0);
    const b = this.#cell(x1, y1);
    const low = Math.min(a, b);
    const high = Math.max(a, b);
    const key = low * this.#across * this.#across + high;
    let at = (Math.imul(low, 0x9e3779b1) ^ Math.imul(high, 0x85ebca6b) ^ Math.imul(owner, 0xc2b2ae35)) >>> 0;
    at = (at ^ (at >>> 15)) & this.#mask;
    while (this.#keys[at] >= 0) {
      if (this.#keys[at] === key && this.#owners[at] === owner) return false;
      at = (at + 1) & this.#mask;
    }
    this.#keys[at] = key;
    this.#owners[at] = owner;
    return true;
  }

  #cell(x: number, y: number): number {
    const n = this.#across;
    const wrap = (v: number) => ((Math.round(v / this.#grid) % n) + n) % n;
    return wrap(y) * n + wrap(x);
  }
}

function packed(grid: number, flat: Float32Array<ArrayBuffer>, starts: number[], owners: number[]): Level {
  const chunks = Uint32Array.from([...starts, flat.length / 4]);
  const index = new Flatbush(starts.length);
  for (let c = 0; c < starts.length; c++) {
    let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = 4 * chunks[c]; i < 4 * chunks[c + 1]; i += 2) {
      left = Math.min(left, flat[i]);
      right = Math.max(right, flat[i]);
      bottom = Math.min(bottom, flat[i + 1]);
      top = Math.max(top, flat[i + 1]);
    }
    index.add(left, bottom, right, top);
  }
  index.finish();
  return { grid, segments: flat, chunks, owners: Uint32Array.from(owners), index: index.data as ArrayBuffer };
}
