import type { Sampler } from "../image/sampler.ts";
import type { Mark } from "../job/schema.ts";
import { COVERAGE_TERMS, type Coverage } from "./coverage.ts";
import type { LocalMap } from "./localMap.ts";
import { Room } from "./room.ts";
import { blurOf, type Pixels } from "./shapeFit.ts";
import { reach } from "./shapes.ts";

/** More pixels than this do not help a start, and fewer than all suffice away from the edges where ink is uneven. */
const ENOUGH_PIXELS = 1000;
const ENOUGH_EDGE = 3000;
const ENOUGH_IN_ALL = 10_000;

/** What an earlier fit has found, and whether all pixels of the ink are wanted: a part of them does where they are alike. */
interface Known {
  readonly coverage: Coverage;
  readonly parameters: Float64Array;
  readonly wholeInk: boolean;
}

/** How much of what surrounds a mark is looked at: as much as tells the light's slope, or, where something else lies there, as little as shows its edge. */
export type Margin = "ample" | "close";

/** The pixels about a mark that tell its place. @param known null for a start. */
export function collectPixels(sampler: Sampler, mark: Mark, local: LocalMap, margin: Margin, known: Known | null): Pixels {
  const inner = reach(mark) * local.scale;
  const radius = inner + marginOf(margin, inner, known ? blurOf(known.parameters[3]) : 1);
  const x0 = Math.max(0, Math.ceil(local.at.x - radius));
  const x1 = Math.min(sampler.width - 1, Math.floor(local.at.x + radius));
  const y0 = Math.max(0, Math.ceil(local.at.y - radius));
  const y1 = Math.min(sampler.height - 1, Math.floor(local.at.y + radius));
  const total = Math.max(0, x1 - x0 + 1) * Math.max(0, y1 - y0 + 1);
  const stride = Math.max(1, Math.floor(Math.sqrt(total / ENOUGH_PIXELS)));
  const few = everyNth(stride * stride);
  // A band of some eight pixels along the outline; of a large mark every n-th pixel is enough.
  const many = everyNth(Math.max(1, Math.round((2 * Math.PI * inner * 8) / ENOUGH_EDGE), Math.round(total / ENOUGH_IN_ALL)));
  const limit = (radius / local.scale) ** 2;
  const across = x1 - x0 + 1;
  const uv = new Float64Array(2);
  // Pixels by their number in the window.
  const places: number[] = [];
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      if (!few(x, y) && !(known && many(x, y))) continue;
      local.toPrint(x - local.at.x, y - local.at.y, uv);
      if (uv[0] * uv[0] + uv[1] * uv[1] <= limit) places.push((y - y0) * across + x - x0);
    }
  }
  const pixelsAt = (some: readonly number[]): Pixels => readPixels(sampler, local, { x0, y0, across, radius }, some, stride === 1);
  const asked = pixelsAt(places);
  if (!known || known.wholeInk) return asked;
  const tells = tellers(asked, known, (0.002 * local.scale) ** 2, reach(mark) ** 2);
  const kept = places.filter((k, i) => tells[i] || few(x0 + (k % across), y0 + Math.floor(k / across)));
  return pixelsAt(kept);
}

/** Margin about a mark that reaches so far, px. */
function marginOf(margin: Margin, inner: number, blur: number): number {
  if (margin === "close") return Math.max(1.5, Math.min(1.5 * blur, 0.15 * inner));
  // Four sigmas beyond the edge tell the light's slope from a shift; where blur is many pixels, three and a little do, and what lies beside the mark stays out.
  return Math.max(3, Math.min(4 * blur, 3 * blur + 2), 2 + 0.12 * inner);
}

/** A window about a mark: its upper left pixel, how many there are to a row, and its radius, px. */
interface Window {
  readonly x0: number;
  readonly y0: number;
  readonly across: number;
  readonly radius: number;
}

/** The pixels with the given numbers in a window; `all`: none of it was passed over. */
function readPixels(sampler: Sampler, local: LocalMap, { x0, y0, across, radius }: Window, places: readonly number[], all: boolean): Pixels {
  const count = places.length;
  const [u, v, dx, dy, value] = [0, 1, 2, 3, 4].map(() => new Float64Array(count));
  const uv = new Float64Array(2);
  for (let k = 0; k < count; k++) {
    const x = x0 + (places[k] % across);
    const y = y0 + Math.floor(places[k] / across);
    local.toPrint(x - local.at.x, y - local.at.y, uv);
    u[k] = uv[0];
    v[k] = uv[1];
    dx[k] = (x - local.at.x) / radius;
    dy[k] = (y - local.at.y) / radius;
    value[k] = sampler.at(x, y);
  }
  return { count, all, u, v, dx, dy, value };
}

const coveredRoom = new Room();

/** Which pixels tell more than thinned ones do: those at the edges, and the board round the mark, of which there is little and which tells the light's slope. */
function tellers({ u, v, count }: Pixels, { coverage, parameters: p }: Known, leastSlope: number, extent: number): Uint8Array {
  const covered = coveredRoom.of(COVERAGE_TERMS * count);
  coverage.at(u.map((at) => at - p[0]), v.map((at) => at - p[1]), p[2], blurOf(p[3]), covered);
  const tells = new Uint8Array(count);
  for (let i = 0, k = 0; i < count; i++, k += COVERAGE_TERMS) {
    tells[i] = Number(covered[k + 1] * covered[k + 1] + covered[k + 2] * covered[k + 2] >= leastSlope || u[i] * u[i] + v[i] * v[i] >= extent);
  }
  return tells;
}

/**
 * Chooses every n-th pixel of each row, shifted from one row to the next by near the golden section of n, which has no common divisor with it: every row and every column has its share. A sheet that
 * lies straight in its picture has edges along them, and an edge that falls between those of a grid is not seen.
 */
function everyNth(n: number): (x: number, y: number) => boolean {
  let shift = Math.max(1, Math.round(0.618 * n));
  while (commonDivisor(shift, n) > 1) shift--;
  return (x, y) => (x + shift * y) % n === 0;
}

function commonDivisor(a: number, b: number): number {
  return b === 0 ? a : commonDivisor(b, a % b);
}
