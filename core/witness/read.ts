import { MARK_PRINT } from "../check/uncertainty/budget.ts";
import { USUAL_THICKNESS, wallOf } from "../check/fit/edgePriors.ts";
import type { Covariance2 } from "../geometry/frames.ts";
import { levenbergMarquardt } from "../geometry/levenbergMarquardt.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import { localMap, type LocalMap, type PlaneMap } from "../marks/localMap.ts";
import { COVERAGE_TERMS, coverageOf } from "../marks/coverage.ts";
import { backSeenFrom, type Eye } from "./eye.ts";
import { witnessPairs, type WitnessPair } from "./pairs.ts";

/** What one witness says: cut minus print at its place, print frame, mm. */
export interface WitnessReading {
  readonly ok: true;
  /** Ids of the ring and of the hole. */
  readonly ring: string;
  readonly hole: string;
  /** Where it is on the sheet, mm. */
  readonly at: { readonly x: number; readonly y: number };
  readonly x: number;
  readonly y: number;
  readonly covariance: Covariance2<"print">;
  /** Expanded uncertainty (k = 2) of x and y, the larger, mm. */
  readonly U: number;
}

export interface WitnessNotRead {
  readonly ok: false;
  readonly ring: string;
  readonly hole: string;
  readonly at: { readonly x: number; readonly y: number };
  /** One sentence. */
  readonly reason: string;
}

/** Centre of the ring, of the hole, growth of both outlines, blur, contrast of both, board with its slopes. */
const TERMS = 12;
const LEAST_BLUR = 0.29;
const blurOf = (term: number): number => LEAST_BLUR + Math.exp(term);
/** Share of the variance in the window that ring and hole must explain. */
const LEAST_EXPLAINED = 0.8;
/** Least contrast of the ring, linear light. */
const LEAST_CONTRAST = 0.02;
/** A hole must differ from the board by this share of what the ring does: else its slug is still in it. */
const LEAST_HOLE = 0.15;
/** Farther than this from its ring's centre a hole is none of it, mm. */
const FARTHEST = 1.5;

/**
 * Reads all witnesses of a picture of the job. `map` is the view that the check found: near enough for where to look and which way is up; the figures
 * come from each pair's own pixels. `eye`: where the camera stood; null for a scan.
 */
export function readWitnesses(sampler: Sampler, job: Job, map: PlaneMap, eye: Eye | null): Array<WitnessReading | WitnessNotRead> {
  const back = eye && backSeenFrom(eye, job.sheet.thickness ?? USUAL_THICKNESS);
  // A scanner's light and lens look straight down, to a few degrees (common practice, no source).
  return witnessPairs(job).map((pair) => readWitness(sampler, pair, map, back && back(pair.ring), wallOf(job, true)));
}

/** Seen askew, the far wall of a hole shows; where it is as bright as the board's face the hole looks cut off there. How bright it is nobody knows: evenly from not at all to fully. */
const WALL_MEAN = 0.5;
const WALL_SPREAD = 1 / Math.sqrt(12);

/**
 * Fits ring and hole together as blurred discs on sloping board, by least squares on the window's linear grey values: apart, each would be in the other's
 * way.
 *
 * @param askew how far the board's back lies from its face as seen, mm, towards the camera: thickness times the tangent of the angle. Half of a wall as
 * bright as the face moves the hole's middle; the mean of what can be is taken out. Null where the camera looks straight down.
 * @param rest standard uncertainty of the edge besides, mm.
 */
export function readWitness(sampler: Sampler, pair: WitnessPair, map: PlaneMap, askew: { readonly x: number; readonly y: number } | null, rest: number): WitnessReading | WitnessNotRead {
  const { ring, hole } = pair;
  const not = (reason: string): WitnessNotRead => ({ ok: false, ring: ring.id, hole: hole.id, at: { x: ring.x, y: ring.y }, reason });
  const at = map.toPicture(ring);
  const local = at && localMap(map, at, ring.outer / 2);
  if (!local) return not("It lies outside the picture.");
  const pixels = pixelsOf(sampler, local, ring.outer / 2);
  if (pixels.value.length < 5 * TERMS) return not("It lies too near the picture's edge, or is shown too small.");
  const start = startOf(pixels, ring.inner / 2, ring.outer / 2, hole.circle.diameter / 2);
  if (!(Math.abs(start[7]) > LEAST_CONTRAST)) return not("No ring with a hole in it is seen there.");
  if (!(Math.abs(start[8]) > LEAST_HOLE * Math.abs(start[7]))) return not("The slug is still in its hole, or what lies behind is as bright as the board.");
  const fitted = fit(pixels, pair, local, start);
  if (!fitted) return not("No ring with a hole in it is seen there.");
  const { p, covariance, explained } = fitted;
  if (!(explained > LEAST_EXPLAINED)) return not("No ring with a hole in it is seen there.");
  const wall = { x: (askew?.x ?? 0) / 2, y: (askew?.y ?? 0) / 2 };
  const [x, y] = [p[2] - p[0] - WALL_MEAN * wall.x, p[3] - p[1] - WALL_MEAN * wall.y];
  if (!(Math.hypot(x, y) < FARTHEST) || !(Math.abs(p[5]) < 0.3 * hole.circle.diameter)) return not("Its hole has another size or place.");
  const c = (i: number, j: number) => covariance[i * TERMS + j];
  const between = (i: number, j: number) => c(i, j) - c(i, 2 + j) - c(2 + i, j) + c(2 + i, 2 + j);
  const even = MARK_PRINT ** 2 + rest ** 2;
  const spread = WALL_SPREAD ** 2;
  const [xx, xy, yy] = [between(0, 0) + even + spread * wall.x ** 2, between(0, 1) + spread * wall.x * wall.y, between(1, 1) + even + spread * wall.y ** 2];
  return { ok: true, ring: ring.id, hole: hole.id, at: { x: ring.x, y: ring.y }, x, y, covariance: { xx, xy, yy }, U: 2 * Math.sqrt(Math.max(xx, yy)) };
}

interface Pixels {
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly value: Float64Array;
  /** The window's radius, mm. */
  readonly radius: number;
}

function pixelsOf(sampler: Sampler, local: LocalMap, extent: number): Pixels {
  const px = extent * local.scale;
  const radius = px + Math.max(3, 0.15 * px);
  const u: number[] = [];
  const v: number[] = [];
  const value: number[] = [];
  const uv = new Float64Array(2);
  for (let y = Math.max(0, Math.ceil(local.at.y - radius)); y <= Math.min(sampler.height - 1, local.at.y + radius); y++) {
    for (let x = Math.max(0, Math.ceil(local.at.x - radius)); x <= Math.min(sampler.width - 1, local.at.x + radius); x++) {
      local.toPrint(x - local.at.x, y - local.at.y, uv);
      if (Math.hypot(uv[0], uv[1]) > radius / local.scale) continue;
      u.push(uv[0]);
      v.push(uv[1]);
      value.push(sampler.at(x, y));
    }
  }
  return { u: Float64Array.from(u), v: Float64Array.from(v), value: Float64Array.from(value), radius: radius / local.scale };
}

function fit(pixels: Pixels, { ring, hole }: WitnessPair, local: LocalMap, start: Float64Array): { p: Float64Array; covariance: Float64Array; explained: number } | null {
  const ringShape = coverageOf(ring, local.blur);
  const holeShape = coverageOf({ id: "", x: 0, y: 0, shape: "dot", diameter: hole.circle.diameter }, local.blur);
  const { u, v, value, radius } = pixels;
  const a = new Float64Array(COVERAGE_TERMS * value.length);
  const b = new Float64Array(COVERAGE_TERMS * value.length);
  const row = new Float64Array(TERMS);
  const result = levenbergMarquardt(start, (p, add) => {
    const blur = blurOf(p[6]);
    ringShape.at(u.map((at) => at - p[0]), v.map((at) => at - p[1]), p[4], blur, a);
    holeShape.at(u.map((at) => at - p[2]), v.map((at) => at - p[3]), p[5], blur, b);
    for (let i = 0, k = 0; i < value.length; i++, k += COVERAGE_TERMS) {
      row[0] = -p[7] * a[k + 1];
      row[1] = -p[7] * a[k + 2];
      row[2] = -p[8] * b[k + 1];
      row[3] = -p[8] * b[k + 2];
      row[4] = p[7] * a[k + 3];
      row[5] = p[8] * b[k + 3];
      row[6] = ((p[7] * a[k + 4] + p[8] * b[k + 4]) * (blur - LEAST_BLUR)) / blur;
      row[7] = a[k];
      row[8] = b[k];
      row[9] = 1;
      row[10] = u[i] / radius;
      row[11] = v[i] / radius;
      add(row, value[i] - (p[7] * a[k] + p[8] * b[k] + p[9] + p[10] * row[10] + p[11] * row[11]), 1);
    }
  }, { maxIterations: 40, tolerance: 1e-9, damping: 1e-3 });
  if (!result.covariance) return null;
  const mean = value.reduce((s, w) => s + w, 0) / value.length;
  const total = value.reduce((s, w) => s + (w - mean) ** 2, 0);
  const variance = result.cost / (value.length - TERMS);
  return { p: result.parameters, covariance: result.covariance.map((w) => w * variance), explained: 1 - result.cost / total };
}

/** Means of where hole, board and ring are expected. */
function startOf({ u, v, value }: Pixels, inner: number, outer: number, hole: number): Float64Array {
  const mean = (from: number, to: number) => {
    let [sum, n] = [0, 0];
    for (let i = 0; i < value.length; i++) {
      const r = Math.hypot(u[i], v[i]);
      if (r < from || r > to) continue;
      sum += value[i];
      n++;
    }
    return n > 0 ? sum / n : 0;
  };
  const board = mean(hole + 0.35 * (inner - hole), hole + 0.65 * (inner - hole));
  return Float64Array.from([0, 0, 0, 0, 0, 0, Math.log(0.6), mean(0.7 * inner + 0.3 * outer, 0.3 * inner + 0.7 * outer) - board, mean(0, 0.6 * hole) - board, board, 0, 0]);
}
