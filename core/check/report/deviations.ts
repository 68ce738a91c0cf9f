import type { PrintPoint } from "../../geometry/frames.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { flattenCut, type Subpath } from "../../job/paths.ts";
import type { Job } from "../../job/schema.ts";
import { partsOf, stretches as stretchesOf, type Part } from "../../job/walk.ts";
import type { TracedChunk, TracedPath } from "../../cuts/trace.ts";
import { wallDoubt } from "../../cuts/walls/walled.ts";
import { biasOf } from "../fit/edgePriors.ts";
import { CUT_TERMS, cutRowAt, displacement } from "../fit/cutMap.ts";
import { quadratic, varianceOf } from "../uncertainty/leftOut.ts";
import { NO_SHIFT, ownShift, type OwnShift } from "../../cuts/departures/ownShift.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import type { Solution } from "../fit/solution.ts";
import type { FeatureReport, StretchReport } from "../record.ts";
import { commonNoise, noiseNear, withoutWander, type RawPath, type RawStretch } from "../uncertainty/stretchNoise.ts";
import { unseenPieces, type Unseen } from "./unseen.ts";

/** A stretch with its deviation as best known: the common map, plus what its own feature and place add beyond doubt. */
export interface StretchDeviation extends StretchReport {
  readonly kind: "cut" | "crease";
  /** Standard uncertainty, mm. */
  readonly u: number;
  /** What its own lip leaves to its place, mm (standard uncertainty); null where the others tell it: of a stretch that is not seen, and of a crease, which has none. */
  readonly lip: number | null;
  /** False where nothing was seen of the cut: it lies where the others have it, as far as anybody can know. */
  readonly seen: boolean;
}

/** Parts of a stretch for each of which the map's deviation is taken; normals are exact in any case. */
const PARTS = 8;
/** A chunk further than this from the common map, mm, is not counted as the cut. */
const BELONGS = 1.2;
/** Noise of a stretch, mm, below which a local departure can be believed. */
const CLEAR_NOISE = 0.06;
/** A knife that has left its path lies off it by so much, mm (standard deviation; common practice, no source). */
const STRAYS = 0.3;
/** A stretch's departure that is not borne out counts up to so many standard deviations of the stretches about it. */
const WIDE = 2.5;
/** Of what differs from stretch to stretch, no more than this is a blade's own wander over ten millimetres, mm (common practice, no source). */
export const WANDER = 0.012;

/** How the cuts were looked at. */
interface Seeing {
  /** The map that they were sought with, and the final one. */
  readonly seenWith: PlaneMap;
  readonly map: PlaneMap;
  /** Standard uncertainty of an edge over a gap by the board's wall, mm. */
  readonly wall: number;
  /** How far to either side of its path a cut was sought, mm. */
  readonly sought: number;
}

/**
 * Deviations of all stretches. The mean of a noisy stretch says less than the common map does where the map fits, and the largest of many
 * noisy ones is biased outwards; so the residual of a stretch counts only for the share of its variance that noise does not explain
 * (empirical Bayes, Efron & Morris 1973), and a feature that lies off as a whole is given its own shift and turn first. Where nothing is seen of a cut the map alone speaks.
 */
export function deviationsOf(job: Job, paths: readonly TracedPath[], solution: Solution, { seenWith, map, wall, sought }: Seeing): { stretches: StretchDeviation[]; features: FeatureReport[]; offFeatures: string[]; unseen: Unseen[] } {
  const traced = job.cuts.map((cut) => {
    const subpaths = flattenCut(cut);
    return paths.filter((path) => path.feature === cut.id).map((path, i) => assemble(path, subpaths[i], solution, seenWith, map));
  });
  const raw = traced.flat();
  const noise = commonNoise(raw) || 0.02 ** 2;
  const stretches: StretchDeviation[] = [];
  const features: FeatureReport[] = [];
  const offFeatures: string[] = [];
  for (const [i, cut] of job.cuts.entries()) {
    const own = traced[i];
    const measured = own.flatMap((r) => r.stretches);
    const edge = paths.some((path) => path.feature === cut.id && path.look === "step") ? wall * wall : 0;
    const length = own.reduce((s, r) => s + r.length, 0);
    const coverage = length > 0 ? own.reduce((s, r) => s + r.covered, 0) / length : 0;
    const settled = settle(cut.id, cut.kind, measured, withoutWander(Math.max(noise, commonNoise(own)), measured) + edge, solution, coverage);
    if (settled.off && cut.kind === "cut") offFeatures.push(cut.id);
    stretches.push(...settled.stretches);
    features.push(settled.stretches.some((s) => s.seen) ? featureReport(cut.id, cut.kind, settled.stretches, coverage) : notFound(cut.id, cut.kind, measured, sought));
  }
  return { stretches, features, offFeatures, unseen: unseenPieces(paths) };
}

function assemble(path: TracedPath, subpath: Subpath, solution: Solution, seenWith: PlaneMap, map: PlaneMap): RawPath {
  let covered = 0;
  const stretches: RawStretch[] = [];
  const laid = stretchesOf(subpath);
  const partsOfEach = partsOf(subpath, laid, PARTS);
  for (const [k, { s0, s1 }] of laid.entries()) {
    // Chunks end at corners, and so reach over a stretch's ends: they tell how far the cut is off the map there, not where the map has it along the stretch.
    const group = path.chunks.filter(({ chunk }) => chunk.s >= s0 && chunk.s < s1);
    if (group.length === 0) continue;
    const parts = partsOfEach[k];
    const model = parts.reduce((sum, part) => sum + modelOf(solution, part), 0) / PARTS;
    const values: number[] = [];
    let residual = 0;
    let seen = 0;
    let told = 0;
    let walled = 0;
    let lip = 0;
    for (const c of group) {
      if (!c.found) continue;
      const expected = modelOf(solution, c.chunk);
      const found = measuredOf(solution, c, seenWith, map);
      // What draws edges aside together is not the cut's.
      const value = found === null ? null : found - biasOf(path, c.chunk, solution.edgeBias, c);
      if (value === null || (Math.abs(value - expected) > BELONGS && !path.moved)) continue;
      covered += c.chunk.length;
      values.push(value - expected);
      residual += (value - expected) * c.chunk.length;
      seen += c.chunk.length;
      told += (c.sigma * c.chunk.length) ** 2;
      lip += (c.lip ?? 0) ** 2 * c.chunk.length;
      if (c.chunk.wall) walled += wallDoubt(c.chunk.wall, path.width) ** 2 * c.chunk.length;
    }
    const middle = group[group.length >> 1].chunk;
    const norm = Math.hypot(middle.nx, middle.ny) || 1;
    stretches.push({
      x: middle.x, y: middle.y, nx: middle.nx / norm, ny: middle.ny / norm, model,
      measured: seen > 0 ? model + residual / seen : model, found: values.length,
      left: group.some((c) => c.left), strayed: !path.moved && group.some((c) => c.left), split: values.length > 1 ? (values[0] - values[values.length - 1]) / 2 : NaN,
      variance: modelVariance(solution, parts, values.length > 0), told: seen > 0 ? told / seen ** 2 : 0, walled: seen > 0 ? walled / seen : 0, lip: seen > 0 ? Math.sqrt(lip / seen) : 0,
    });
  }
  // What lies at a corner cannot be looked at: of the short dashes of a perforation that is half.
  const atCorners = path.chunks.reduce((sum, { chunk }) => sum + (chunk.atCorner ? chunk.length : 0), 0);
  return { length: path.length - atCorners, covered, stretches };
}

/** n . d(p), meaned over a part of a path. */
function modelOf(solution: Solution, part: Part): number {
  const d = displacement(solution.cut, solution.data.datum, solution.data.frame.print.half, part);
  return part.nx * d.x + part.ny * d.y;
}

/** The located deviation in the print plane of the final view; the sagitta of sliding along a bend taken out. */
function measuredOf(solution: Solution, c: TracedChunk, seenWith: PlaneMap, map: PlaneMap): number | null {
  const { chunk } = c;
  const norm = Math.hypot(chunk.nx, chunk.ny) || 1;
  const [ux, uy] = [chunk.nx / norm, chunk.ny / norm];
  const q = seenWith.toPicture({ x: chunk.x + c.t * ux, y: chunk.y + c.t * uy });
  const p: PrintPoint | null = q && map.toPrint(q);
  if (!p) return null;
  const d = displacement(solution.cut, solution.data.datum, solution.data.frame.print.half, chunk);
  const slide = chunk.tx * d.x + chunk.ty * d.y;
  return ux * (p.x - chunk.x) + uy * (p.y - chunk.y) + 0.5 * chunk.curvature * slide * slide;
}

function modelVariance(solution: Solution, parts: readonly Part[], isSeen: boolean): number {
  const n = isSeen ? solution.cut.length : Math.max(solution.cut.length, CUT_TERMS.affine);
  const row = new Float64Array(n);
  const sum = new Float64Array(n);
  const { half } = solution.data.frame.print;
  for (const part of parts) {
    cutRowAt(part, solution.data.datum, half, row);
    for (let i = 0; i < n; i++) sum[i] += row[i] / parts.length;
  }
  return isSeen ? quadratic(solution, sum) : varianceOf(solution, sum);
}

/**
 * A crease is soft, and a shade, a printed line or the light on its slopes is easily taken for its own departure from what all cuts agree on: half of that counts as standard
 * uncertainty, so that U always reaches to where they have it. On creases drawn by others, which all lay there, departures were 0.2 mm (median) and up to 0.4.
 */
const CREASE_DOUBT = 0.5;

/** A feature of which less than this is seen has no departure of its own: what is seen of it may be something else. A small one, of so few stretches at most, has its wall or a shadow in what shows of it. */
const LEAST_SEEN = 0.5;
const SMALL = 4;
const LEAST_SEEN_OF_SMALL = 0.9;

function settle(feature: string, kind: "cut" | "crease", all: readonly RawStretch[], noise: number, solution: Solution, coverage: number): { stretches: StretchDeviation[]; off: boolean } {
  const seen = all.filter((s) => s.found > 0);
  const seenWell = coverage >= (all.length > SMALL ? LEAST_SEEN : LEAST_SEEN_OF_SMALL);
  const own = seenWell ? ownShift(seen, noise) : NO_SHIFT;
  const rest = seen.map((s) => s.measured - s.model - own.at(s));
  // Where the knife has left the path it tells nothing of how the rest of it wanders.
  const inPlace = rest.filter((_, i) => !seen[i].left);
  const spread = inPlace.length > 3 ? robustSigma(inPlace) ** 2 : noise;
  // The share of the spread that noise does not explain, with a margin for how well a variance is known from so few.
  const extra = Math.max(0, spread - noise * (1 + 2.5 / Math.sqrt(Math.max(1, inPlace.length))));
  const scale = Math.max(1, solution.data.cutScale);
  // Where the pixels tell less than elsewhere, beside an edge of the print, a stretch is known no better than that.
  const near = noiseNear(rest, seen.map((stretch) => stretch.left), noise).map((v, i) => Math.max(v, seen[i].told));
  const stretches = seen.map((s, i): StretchDeviation => {
    const unknown = near[i] + s.walled;
    const prior = s.strayed ? Math.max(extra, STRAYS ** 2) : extra;
    const share = seenWell ? prior / (prior + unknown) : 0;
    // A departure is believed where the picture is clear and three stretches in a row show it, or those on both sides of what is not seen: a blade does not leave its
    // path for ten millimetres and come back, but an edge of the artwork may lie beside it for as long.
    const sigma = Math.sqrt(near[i] + extra);
    const shows = (k: number): boolean => k >= 0 && k < rest.length && rest[k] * rest[i] > 0 && Math.abs(rest[k]) > 4 * sigma;
    const at = all.indexOf(s);
    const unseen = ([-1, 1] as const).filter((way) => all[at + way]?.found === 0);
    const borneOut = [[-2, -1], [-1, 1], [1, 2]].some(([j, k]) => shows(i + j) && shows(i + k)) || unseen.some((way) => shows(i + way));
    const sure = seenWell && Math.abs(rest[i]) > 5 * Math.sqrt(unknown + extra) && (borneOut || s.left) && sigma < CLEAR_NOISE;
    // One stretch far off and not borne out is taken for something else beside the cut: no more of it counts than a wide wander would give.
    const local = sure ? rest[i] : share * (s.strayed ? rest[i] : Math.max(-WIDE * sigma, Math.min(WIDE * sigma, rest[i])));
    // What differs from stretch to stretch may be the blade's own wander as well as noise, and the worst stretch is where it went farthest.
    const doubt = kind === "crease" ? CREASE_DOUBT * (own.at(s) + local) : 0;
    // A departure that leads to where nothing is seen may go on there: as far again, which U is to hold.
    const hidden = sure && unseen.length > 0 ? local / 2 : 0;
    // Three in a row that lie off to one side, not far enough each to be believed: U is to reach to where they were found.
    const maybe = !sure && seenWell && together(rest, i) > MAYBE * sigma ? (rest[i] - local) / 2 : 0;
    const u = Math.sqrt(s.variance + own.variance(s) + Math.min(noise, WANDER ** 2) + (sure ? 1 : share) * unknown + doubt * doubt + hidden * hidden + maybe * maybe);
    return { feature, kind, x: s.x, y: s.y, nx: s.nx, ny: s.ny, value: s.model + own.at(s) + local, u: Math.max(u, 1e-4 * scale), U: 2 * u, lip: kind === "cut" ? s.lip : null, seen: true };
  });
  return { stretches: kind === "cut" ? [...stretches, ...expected(feature, all, own, extra)] : stretches, off: own.off };
}

/** Three stretches in a row that lie off to one side by so many standard deviations together may be a knife that left its path: chance alone has them so in one of a hundred thousand, a blade that wanders more often. */
const MAYBE = 4.5;

/** The most by which three in a row, one of them the i-th, lie off to its side, over the root of three; 0 where none do. */
function together(rest: readonly number[], i: number): number {
  const off = (from: number): number => {
    const three = rest.slice(Math.max(0, from), from + 3);
    return from >= 0 && three.length === 3 && three.every((r) => r * rest[i] > 0) ? Math.abs(three[0] + three[1] + three[2]) / Math.sqrt(3) : 0;
  };
  return Math.max(off(i - 2), off(i - 1), off(i));
}

/** The stretches of a cut of which nothing was seen, where the others have them: the worst place may be among them. `extra`: variance of the feature's own departures, mm^2. */
function expected(feature: string, all: readonly RawStretch[], own: OwnShift, extra: number): StretchDeviation[] {
  return all.filter((s) => s.found === 0).map((s) => {
    const u = Math.sqrt(s.variance + own.variance(s) + extra + WANDER ** 2);
    return { feature, kind: "cut", x: s.x, y: s.y, nx: s.nx, ny: s.ny, value: s.model + own.at(s), u, U: 2 * u, lip: null, seen: false };
  });
}

function featureReport(id: string, kind: "cut" | "crease", stretches: readonly StretchDeviation[], coverage: number): FeatureReport {
  const { most, ...values } = summary(stretches);
  return { id, kind, ...values, max: most.value, U: most.U, coverage: Math.min(1, coverage) };
}

/**
 * A feature that was not found is said to lie where the others' map has it, for want of better, and may lie anywhere within the search: a rectangular distribution over it
 * (JCGM 100:2008, 4.3.7), so that no reader takes its values for those of a good cut.
 */
function notFound(id: string, kind: "cut" | "crease", all: readonly RawStretch[], sought: number): FeatureReport {
  const { most, ...values } = summary(all.length > 0 ? all.map((s) => ({ value: s.model })) : [{ value: 0 }]);
  return { id, kind, ...values, max: most.value, U: 2 * Math.hypot(sought / Math.sqrt(3), most.value), coverage: 0 };
}

function summary<T extends { readonly value: number }>(all: readonly T[]): { mean: number; rms: number; most: T } {
  return {
    mean: all.reduce((s, d) => s + d.value, 0) / all.length,
    rms: Math.sqrt(all.reduce((s, d) => s + d.value ** 2, 0) / all.length),
    most: all.reduce((a, b) => (Math.abs(b.value) > Math.abs(a.value) ? b : a)),
  };
}
