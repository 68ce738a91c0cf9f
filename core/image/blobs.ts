import type { Reduced } from "./reduce.ts";

/** A connected patch that is darker (or lighter) than its surroundings, weighted by how much; in pixels of the reduced copy. */
export interface Blob {
  readonly tone: "dark" | "light";
  /** Centre of gravity of the contrast. */
  readonly x: number;
  readonly y: number;
  /** Contrast summed over the patch divided by its peak: the area, little changed by blur. */
  readonly area: number;
  /** Second central moments of the contrast, px^2. */
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  /** Peak contrast, grey levels. */
  readonly peak: number;
  readonly box: { readonly x0: number; readonly y0: number; readonly x1: number; readonly y1: number };
}

export interface BlobOptions {
  /** Half side of the window over which the surroundings are averaged, px. */
  readonly radius: number;
  /** A patch is kept where its summed area is within these, px^2. */
  readonly minArea: number;
  readonly maxArea: number;
  /** Least difference to the surroundings: an absolute one, grey levels, and a share of the local mean. */
  readonly offset: number;
  readonly share: number;
}

/**
 * Finds the patches of `tone` by comparing each pixel with the mean of its surroundings (integral image) and joining
 * neighbours (8-connected, by runs). Cost is linear in the pixels, whatever the picture shows.
 */
export function findBlobs(image: Reduced, means: LocalMeans, tone: "dark" | "light", options: BlobOptions): Blob[] {
  const { width, height, data } = image;
  const sign = tone === "dark" ? 1 : -1;
  const runs = new RunSet();
  // One threshold per mean value instead of one per pixel, with the sign that turns light patches into dark ones.
  const limits = Float64Array.from({ length: 256 }, (_, m) => sign * m - Math.max(options.offset, options.share * m));
  for (let y = 0; y < height; y++) {
    runs.startRow(y);
    addRuns(runs, data.subarray(y * width, (y + 1) * width), means.data.subarray((y >> BLOCK) * means.width), limits, sign);
  }
  return collect(image, means, runs, tone, options);
}

/** Adds the runs of one row whose values, times the sign, lie below their limits. One comparison for both signs: the compiler gave up a loop with a branch that it had not seen taken, at every row anew. */
function addRuns(runs: RunSet, row: Uint8Array, means: Uint8Array, limits: Float64Array, sign: number): void {
  let from = -1;
  for (let x = 0; x < row.length; x++) {
    const set = sign * row[x] < limits[means[x >> BLOCK]];
    if (set === from >= 0) continue;
    if (set) from = x;
    else {
      runs.add(from, x - 1);
      from = -1;
    }
  }
  if (from >= 0) runs.add(from, row.length - 1);
}

/** Means of the surroundings on a coarse grid: they change slowly, one value serves a block of pixels. */
export interface LocalMeans {
  readonly width: number;
  readonly data: Uint8Array;
}

/** Side of the block that shares one mean, as a shift: 4 pixels. */
const BLOCK = 2;

/** Mean over a square window of about +-radius around each block, clipped at the picture's edge. */
export function localMeans({ width, height, data }: Reduced, radius: number): LocalMeans {
  const w = (width + 3) >> BLOCK;
  const h = (height + 3) >> BLOCK;
  const stride = w + 1;
  const integral = new Float64Array(stride * (h + 1));
  const counts = new Float64Array(stride * (h + 1));
  const sums = new Uint32Array(w);
  for (let j = 0; j < h; j++) {
    sums.fill(0);
    const rows = Math.min(4, height - 4 * j);
    for (let y = 4 * j; y < 4 * j + rows; y++) addBlocks(sums, data.subarray(y * width, (y + 1) * width));
    addIntegralRow(integral, counts, (j + 1) * stride, stride, sums, rows, width);
  }
  const reach = Math.max(1, Math.round(radius / 4));
  const means = new Uint8Array(w * h);
  for (let j = 0; j < h; j++) {
    const y0 = Math.max(0, j - reach) * stride;
    const y1 = Math.min(h, j + reach + 1) * stride;
    writeMeans(means.subarray(j * w, (j + 1) * w), integral, counts, y0, y1, reach);
  }
  return { width: w, data: means };
}

function addBlocks(sums: Uint32Array, row: Uint8Array): void {
  for (let x = 0; x < row.length; x++) sums[x >> BLOCK] += row[x];
}

/** Adds a row of blocks, whose lower edge is at `at`, to the integrals of light and of pixels. */
function addIntegralRow(integral: Float64Array, counts: Float64Array, at: number, stride: number, sums: Uint32Array, rows: number, width: number): void {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < sums.length; i++) {
    sum += sums[i];
    count += rows * Math.min(4, width - 4 * i);
    integral[at + i + 1] = integral[at - stride + i + 1] + sum;
    counts[at + i + 1] = counts[at - stride + i + 1] + count;
  }
}

/** Means of one row of blocks over the window between the integrals' rows that begin at y0 and y1. */
function writeMeans(means: Uint8Array, integral: Float64Array, counts: Float64Array, y0: number, y1: number, reach: number): void {
  for (let i = 0; i < means.length; i++) {
    const x0 = Math.max(0, i - reach);
    const x1 = Math.min(means.length, i + reach + 1);
    const sum = integral[y1 + x1] - integral[y1 + x0] - integral[y0 + x1] + integral[y0 + x0];
    means[i] = sum / (counts[y1 + x1] - counts[y1 + x0] - counts[y0 + x1] + counts[y0 + x0]) + 0.5;
  }
}

/** Runs of set pixels with a union-find over those that touch (diagonals count). Flat arrays: a textured picture has some 100,000 runs. */
class RunSet {
  count = 0;
  row = new Int32Array(1 << 14);
  from = new Int32Array(1 << 14);
  to = new Int32Array(1 << 14);
  parent = new Int32Array(1 << 14);
  private previous = 0;
  private previousEnd = 0;
  private current = 0;
  private y = -1;

  startRow(y: number): void {
    this.previous = this.current;
    this.previousEnd = this.count;
    this.current = this.count;
    this.y = y;
  }

  add(from: number, to: number): void {
    if (this.count === this.row.length) this.enlarge();
    const id = this.count++;
    this.row[id] = this.y;
    this.from[id] = from;
    this.to[id] = to;
    this.parent[id] = id;
    while (this.previous < this.previousEnd && this.to[this.previous] < from - 1) this.previous++;
    for (let p = this.previous; p < this.previousEnd && this.from[p] <= to + 1; p++) this.join(p, id);
  }

  find(id: number): number {
    const { parent } = this;
    while (parent[id] !== id) {
      parent[id] = parent[parent[id]];
      id = parent[id];
    }
    return id;
  }

  private join(a: number, b: number): void {
    const ra = this.find(a);
    const rb = this.find(b);
    if (ra < rb) this.parent[rb] = ra;
    else this.parent[ra] = rb;
  }

  private enlarge(): void {
    for (const key of ["row", "from", "to", "parent"] as const) {
      const larger = new Int32Array(2 * this.count);
      larger.set(this[key]);
      this[key] = larger;
    }
  }
}

/** Sums kept per patch: w, wx, wy, wxx, wxy, wyy, peak, and the box x0, y0, x1, y1. */
const SUMS = 11;

function collect(image: Reduced, means: LocalMeans, runs: RunSet, tone: "dark" | "light", options: BlobOptions): Blob[] {
  const { data, width } = image;
  const { count } = runs;
  // Pixel counts first: patches too large or too small to be kept are not looked at again.
  const pixels = new Int32Array(count);
  for (let r = 0; r < count; r++) pixels[runs.find(r)] += runs.to[r] - runs.from[r] + 1;
  const slot = new Int32Array(count).fill(-1);
  let kept = 0;
  for (let r = 0; r < count; r++) if (pixels[r] >= 4 && pixels[r] <= options.maxArea * 4 + 60) slot[r] = SUMS * kept++;
  const s = new Float64Array(SUMS * kept);
  for (let k = 0; k < kept; k++) s.set([Infinity, Infinity, -Infinity, -Infinity], SUMS * k + 7);
  for (let r = 0; r < count; r++) {
    const at = slot[runs.find(r)];
    if (at < 0) continue;
    const y = runs.row[r];
    const row = (y >> BLOCK) * means.width;
    for (let x = runs.from[r]; x <= runs.to[r]; x++) {
      const w = Math.abs(means.data[row + (x >> BLOCK)] - data[y * width + x]);
      s[at] += w;
      s[at + 1] += w * x;
      s[at + 2] += w * y;
      s[at + 3] += w * x * x;
      s[at + 4] += w * x * y;
      s[at + 5] += w * y * y;
      if (w > s[at + 6]) s[at + 6] = w;
    }
    s[at + 7] = Math.min(s[at + 7], runs.from[r]);
    s[at + 8] = Math.min(s[at + 8], y);
    s[at + 9] = Math.max(s[at + 9], runs.to[r]);
    s[at + 10] = Math.max(s[at + 10], y);
  }
  const blobs: Blob[] = [];
  for (let at = 0; at < s.length; at += SUMS) {
    const area = s[at] / s[at + 6];
    if (!(area >= options.minArea && area <= options.maxArea)) continue;
    const x = s[at + 1] / s[at];
    const y = s[at + 2] / s[at];
    blobs.push({
      tone, x, y, area, peak: s[at + 6],
      xx: s[at + 3] / s[at] - x * x, xy: s[at + 4] / s[at] - x * y, yy: s[at + 5] / s[at] - y * y,
      box: { x0: s[at + 7], y0: s[at + 8], x1: s[at + 9], y1: s[at + 10] },
    });
  }
  return blobs;
}
