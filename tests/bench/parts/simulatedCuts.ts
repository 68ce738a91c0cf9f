import { bentBetween } from "../../../core/cuts/strips/strip.ts";
import type { TracedChunk, TracedPath } from "../../../core/cuts/trace.ts";
import { flattenCut, type Subpath } from "../../../core/job/paths.ts";
import type { Job } from "../../../core/job/schema.ts";
import { stationsAlong, stationsAt, stretches, walk, type Station } from "../../../core/job/walk.ts";
import type { PlaneMap } from "../../../core/marks/localMap.ts";
import type { Random } from "../../../core/sample/random.ts";

type Point = { readonly x: number; readonly y: number };

/** How well the cuts are seen. */
export interface Seeing {
  readonly pxPerMm: number;
  /** Sigma, px. */
  readonly blur: number;
  /** What the trace states for the lips, mm; `bias` is what lips really do to a line of this normal, mm. */
  readonly lip: number;
  bias(nx: number, ny: number, circle: boolean): number;
  /** How far below the face the line of a slit seems to lie where it is seen askew, mm. */
  readonly depth: number;
  /** Noise of a chunk from the pixels (stated) and from the board's fibres (not stated), mm. */
  readonly sigma: number;
  readonly fibre: number;
  /** Share of chunks not found, and of those found on something else near the cut. */
  readonly lost: number;
  readonly strays: number;
}

/** Where the blade really ran beside the common map. */
export interface Blade {
  readonly subpaths: readonly { readonly feature: string; readonly circle: boolean; readonly path: Subpath; wander(s: number): number }[];
  /** Size of the largest mean deviation over a stretch under the map T, mm. */
  worst(T: (p: Point) => Point): number;
}

/** Knots of the blade's wander, mm. */
const KNOTS = 3;
/** Places meaned over a stretch, as in the drawn truth. */
const PLACES = 20;

/** A blade that wanders by `wander` mm (standard deviation) over lengths of a few mm. */
export function blade(job: Job, wander: number, random: Random): Blade {
  const subpaths = job.cuts.filter((cut) => cut.kind === "cut").flatMap((cut) => flattenCut(cut, 0.002).map((path) => {
    const count = Math.max(4, Math.round(path.length / KNOTS));
    const knots = Float64Array.from({ length: count }, () => wander * random.normal());
    // Linear between knots loses a third of the variance in the mean; made good for.
    const at = (s: number): number => {
      const t = ((s / path.length) * count) % count;
      const i = Math.floor(t) % count;
      return 1.22 * (knots[i] * (1 - t + Math.floor(t)) + knots[(i + 1) % count] * (t - Math.floor(t)));
    };
    return { feature: cut.id, circle: "circle" in cut, path, wander: at };
  }));
  return {
    subpaths,
    worst(T) {
      let worst = 0;
      for (const { path, wander: own } of subpaths) {
        for (const stretch of stretches(path)) {
          let sum = 0;
          for (const p of stationsAlong(path, stretch, PLACES)) {
            const t = T(p);
            sum += (t.x - p.x) * p.nx + (t.y - p.y) * p.ny + own(p.s);
          }
          worst = Math.max(worst, Math.abs(sum / PLACES));
        }
      }
      return worst;
    },
  };
}

const CHUNK = 5;
const CORNER_CLEARANCE = 0.8;
/** Station spacing, mm. */
const STEP = 1;

/** The cuts as the trace would give them: chunks of 5 mm, located across with noise, in the plane of `searchMap`. `show` carries a nominal point of a cut, or of a circle's edge, into the picture. */
export function pathsSeen(show: (p: Point, circle: boolean) => Point, searchMap: PlaneMap, blades: Blade, seeing: Seeing, random: Random, claimed: number): TracedPath[] {
  return blades.subpaths.map(({ feature, circle, path, wander }) => {
    const length = Math.min(CHUNK, path.length / 8);
    const stations = walk(path, Math.min(STEP, length / 6));
    const pieces = Math.max(1, Math.round(stations[stations.length - 1].s / length));
    const chunks = Array.from({ length: pieces }, (_, k) => {
      const from = Math.floor((k * stations.length) / pieces);
      const to = Math.floor(((k + 1) * stations.length) / pieces);
      const [first, last] = longerLeg(stations, from, to);
      return chunkOf(stations.slice(first, last), length, circle, path, (p) => show(p, circle), searchMap, wander, seeing, random, claimed);
    });
    return { feature, kind: "cut" as const, look: circle ? ("step" as const) : ("line" as const), closed: path.closed, away: circle ? (-1 as const) : (1 as const), length: path.length, chunks, width: Math.hypot(0.1, seeing.blur / seeing.pxPerMm) };
  });
}

function chunkOf(
  stations: readonly Station[], length: number, circle: boolean, path: Subpath, show: (p: Point) => Point, searchMap: PlaneMap, wander: (s: number) => number, seeing: Seeing, random: Random, claimed: number,
): TracedChunk {
  const clear = stations.filter((p) => p.corner >= CORNER_CLEARANCE);
  const curvature = turning(stations);
  const across = clear.flatMap((p) => crossing(p, Math.abs(curvature) > 1e-9, path, show, searchMap, wander) ?? []);
  const middle = stations[stations.length >> 1];
  const [nx, ny] = [mean(stations.map((p) => p.nx)), mean(stations.map((p) => p.ny))];
  const chunk = {
    s: middle.s, length, x: middle.x, y: middle.y, nx, ny, tx: middle.tx, ty: middle.ty, curvature,
    profile: new Float32Array(0), stations: across.length, ux: 1, uy: 0, scale: seeing.pxPerMm,
  };
  const stray = random.chance(seeing.strays) ? random.between(0.1, 0.3) * (random.chance(0.5) ? 1 : -1) : 0;
  const noise = seeing.sigma * random.normal() + seeing.fibre * random.normal();
  const found = !random.chance(seeing.lost) && across.length > 0;
  const t = found ? mean(across) + seeing.bias(middle.nx, middle.ny, circle) + noise + stray : 0;
  return { chunk, found, t, sigma: claimed * seeing.sigma, bias: 0, lip: seeing.lip, significance: 20, share: -0.5 };
}

/** Where the cut crosses the normal of a station, mm along it, in the plane of the search; where the path is bent, found by sliding along it. */
function crossing(p: Station, bent: boolean, path: Subpath, show: (p: Point) => Point, searchMap: PlaneMap, wander: (s: number) => number): number | null {
  let at = p;
  for (let pass = 0; ; pass++) {
    const q = searchMap.toPrint(show({ x: at.x, y: at.y }));
    if (!q) return null;
    const [dx, dy] = [q.x + wander(at.s) * at.nx - p.x, q.y + wander(at.s) * at.ny - p.y];
    const along = dx * p.tx + dy * p.ty;
    if (!bent || Math.abs(along) < 1e-3 || pass === 3) return dx * p.nx + dy * p.ny;
    const s = Math.min(path.length - 1e-6, Math.max(1e-6, at.s - along));
    [at] = stationsAt(path, [s]);
  }
}

/** Curvature over the stations, 1/mm. */
function turning(stations: readonly Station[]): number {
  let turn = 0;
  for (let i = 1; i < stations.length; i++) {
    const [a, b] = [stations[i - 1], stations[i]];
    if (a.corner > CORNER_CLEARANCE && b.corner > CORNER_CLEARANCE) turn += (b.nx - a.nx) * b.tx + (b.ny - a.ny) * b.ty;
  }
  return stations.length > 1 ? turn / (stations[stations.length - 1].s - stations[0].s) : 0;
}

const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / Math.max(1, values.length);

/** The longest run of stations from..to without a real corner in it: a piece that lies round one is looked at along its longer leg. */
function longerLeg(stations: readonly Station[], from: number, to: number): [from: number, to: number] {
  let best: [number, number] = [from, from];
  let start = from;
  for (let i = from + 1; i <= to; i++) {
    if (i < to && !bentBetween(stations[i - 1], stations[i])) continue;
    if (i - start > best[1] - best[0]) best = [start, i];
    start = i;
  }
  return best;
}
