import type { Sampler } from "../image/sampler.ts";
import type { Mark } from "../job/schema.ts";
import { COVERAGE_TERMS, type Coverage } from "./coverage.ts";
import type { LocalMap } from "./localMap.ts";
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

/** The pixels about a mark that tell its place. @param known null for a start. */
export function collectPixels(sampler: Sampler, mark: Mark, local: LocalMap, known: Known | null): Pixels {
  const inner = reach(mark) * local.scale;
  const blur = known ? blurOf(known.parameters[3]) : 1;
  // Four sigmas beyond the edge tell the light's slope from a shift; where blur is many pixels, three and a little do, and what lies beside the mark stays out.
  const radius = inner + Math.max(3, Math.min(4 * blur, 3 * blur + 2), 2 + 0.12 * inner);
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
  const xs: number[] = [];
  const ys: number[] = [];
  const u: number[] = [];
  const v: number[] = [];
  const uv = new Float64Array(2);
  for (let y = y0; y <= y1; y++) {
    for (let x = x0; x <= x1; x++) {
      if (!few(x, y) && !(known && many(x, y))) continue;
      local.toPrint(x - local.at.x, y - local.at.y, uv);
      if (uv[0] * uv[0] + uv[1] * uv[1] > limit) continue;
      xs.push(x);
      ys.push(y);
      u.push(uv[0]);
      v.push(uv[1]);
    }
  }
  const tells = known && !known.wholeInk ? tellers(u, v, known, (0.002 * local.scale) ** 2, reach(mark) ** 2) : null;
  const kept = xs.map((_, i) => i).filter((i) => !tells || tells[i] || few(xs[i], ys[i]));
  const array = (): Float64Array => new Float64Array(kept.length);
  const pixels = { count: kept.length, all: stride === 1, u: array(), v: array(), dx: array(), dy: array(), value: array() };
  for (let k = 0; k < kept.length; k++) {
    const [x, y] = [xs[kept[k]], ys[kept[k]]];
    pixels.u[k] = u[kept[k]];
    pixels.v[k] = v[kept[k]];
    pixels.dx[k] = (x - local.at.x) / radius;
    pixels.dy[k] = (y - local.at.y) / radius;
    pixels.value[k] = sampler.at(x, y);
  }
  return pixels;
}

/** Which of the points (u, v) tell more than thinned pixels do: those at the edges, and the board round the mark, of which there is little and which tells the light's slope. */
function tellers(u: readonly number[], v: readonly number[], { coverage, parameters: p }: Known, leastSlope: number, extent: number): boolean[] {
  const covered = new Float64Array(COVERAGE_TERMS * u.length);
  coverage.at(Float64Array.from(u).map((at) => at - p[0]), Float64Array.from(v).map((at) => at - p[1]), p[2], blurOf(p[3]), covered);
  return u.map((_, i) => covered[COVERAGE_TERMS * i + 1] ** 2 + covered[COVERAGE_TERMS * i + 2] ** 2 >= leastSlope || u[i] * u[i] + v[i] * v[i] >= extent);
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
