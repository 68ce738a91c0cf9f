import { boxOf } from "../geometry/polygon.ts";
import { findBlobs, localMeans, type Blob } from "../image/blobs.ts";
import type { Picture } from "../image/picture.ts";
import { reduce, toFull, type Plane } from "../image/reduce.ts";
import { flattenCut } from "../job/paths.ts";
import type { Job, Mark } from "../job/schema.ts";
import { describe, inkMoments, type Descriptor } from "./descriptor.ts";
import { patchAt, resemblance, type Patch } from "./resemblance.ts";
import { inkArea, reach } from "./shapes.ts";

/** A patch that may be a mark; lengths in picture pixels. Artwork gives hundreds of false ones, that is normal. */
export interface Candidate extends Descriptor {
  readonly x: number;
  readonly y: number;
  readonly area: number;
  readonly tone: "dark" | "light";
  /** Peak contrast, grey levels of 255. */
  readonly peak: number;
  /** Standard uncertainty of x and y, px: the copy that it was found on is coarse. */
  readonly sigma: number;
  /** What it looks like. */
  readonly patch: Patch;
}

/** The scales (px per mm) at which the job may appear in the picture, and the likely one. */
export interface ScaleRange {
  readonly least: number;
  readonly likely: number;
  readonly most: number;
}

/** Marks that reach over less than this share of a stripped piece do not tell how large it is in the picture: the piece does. */
const REACHED = 0.7;

/** The sheet's marks and cuts are taken to fill between three tenths and (with parts out of the picture) a little more than all of the picture. */
export function scaleRange(job: Job, picture: { width: number; height: number }): ScaleRange {
  const [left, bottom, right, top] = boxOf(job.marks);
  const long = Math.max(right - left, top - bottom, REACHED * pieceSide(job), 1);
  const diagonal = Math.hypot(right - left, top - bottom);
  const most = (1.3 * Math.hypot(picture.width, picture.height)) / Math.max(diagonal, 1);
  const likely = (0.75 * Math.max(picture.width, picture.height)) / long;
  return { least: 0.2 * likely, likely: Math.min(likely, most), most };
}

/** The long side of a stripped piece, mm; 0 for a sheet, around which its marks stand. */
function pieceSide({ state, cuts }: Pick<Job, "state" | "cuts">): number {
  if (state !== "stripped") return 0;
  const [left, bottom, right, top] = boxOf(cuts.flatMap((cut) => (cut.kind === "cut" ? flattenCut(cut, ROUGHLY).flatMap(({ points }) => points) : [])));
  return Math.max(right - left, top - bottom);
}
/** As near as curves need be followed for that, mm. */
const ROUGHLY = 0.5;

/** By how much the picture may be reduced so that the job's finest mark is still clear: six pixels across, strokes one and a half. */
export function findingFactor(job: Job, scale: number): number {
  const finest = job.marks.map((m) => {
    const across = (2 * reach(m)) / (m.shape === "checker" ? 8 : 6.5);
    const stroke = m.shape === "cross" ? m.stroke / 1.5 : m.shape === "ring" ? (m.outer - m.inner) / 2 / 1.6 : Infinity;
    return Math.min(across, stroke);
  });
  return Math.max(1, Math.min(24, Math.floor(scale * Math.min(...finest))));
}

/** The surroundings that a patch is compared with. */
export interface Surroundings {
  /** Half their width, in widths of the largest mark, and px of the reduced picture at least. */
  readonly widths: number;
  readonly least: number;
  /** The share of their mean by which a patch differs from them at least. */
  readonly share: number;
}

/** A page with marks on it; a mark on a patch of its own; a mark on a patch of its own in darker (or lighter) print, from which the patch differs as well, which a wide mean takes for one with its mark. */
export const WIDE: Surroundings = { widths: 1.1, least: 6, share: 0.1 };
export const NARROW: Surroundings = { widths: 0.6, least: 3, share: 0.1 };
export const CLOSE: Surroundings = { widths: 0.35, least: 3, share: 0.25 };

/** Finds everything in one plane of the picture that may be one of the job's marks, at the given reduction, compared with what is `around` it. */
export function findCandidates(picture: Picture, job: Job, scale: ScaleRange, factor: number, plane: Plane, around: Surroundings = WIDE): Candidate[] {
  const copy = reduce(picture, factor, plane);
  const largest = Math.max(...job.marks.map((m) => 2 * reach(m)));
  const areas = job.marks.map(inkArea);
  // The quarters of a checker may come apart: a single one has half the ink.
  const least = Math.min(...job.marks.map((m, i) => (m.shape === "checker" ? areas[i] / 2 : areas[i])));
  const options = {
    radius: Math.max(around.least, Math.round((around.widths * largest * scale.likely) / factor)),
    minArea: Math.max(5, 0.5 * least * (scale.least / factor) ** 2),
    maxArea: 1.6 * Math.max(...areas) * (scale.most / factor) ** 2,
    offset: 9,
    share: around.share,
  };
  const means = localMeans(copy, options.radius);
  const found: Candidate[] = [];
  const withCheckers = job.marks.some((m) => m.shape === "checker");
  for (const tone of ["dark", "light"] as const) {
    if (job.marks.every((m) => m.tone && m.tone !== tone)) continue;
    const blobs = findBlobs(copy, means, tone, options);
    for (const blob of withCheckers ? [...blobs, ...quarterPairs(blobs)] : blobs) {
      const side = Math.max(blob.box.x1 - blob.box.x0, blob.box.y1 - blob.box.y0) + 1;
      const other = Math.min(blob.box.x1 - blob.box.x0, blob.box.y1 - blob.box.y0) + 1;
      if (side > 2.6 * other) continue;
      found.push({
        x: toFull(copy, blob.x), y: toFull(copy, blob.y), tone, peak: blob.peak,
        area: blob.area * factor * factor, sigma: 0.35 * factor + 0.2, patch: patchAt(copy, blob.x, blob.y, blob, tone),
        ...describe(blob.xx, blob.xy, blob.yy, blob.area),
      });
    }
  }
  return found;
}

/** A checker whose quarters came apart is two patches of one size, 1.2 radii from each other (up to 1.7 by areas that a threshold has halved): offered as one patch too. */
function quarterPairs(blobs: readonly Blob[]): Blob[] {
  const sorted = [...blobs].sort((a, b) => a.x - b.x);
  const pairs: Blob[] = [];
  for (let i = 0; i < sorted.length; i++) {
    const a = sorted[i];
    const radius = Math.sqrt((4 * a.area) / Math.PI);
    for (let j = i + 1; j < sorted.length && sorted[j].x - a.x < 1.9 * radius; j++) {
      const b = sorted[j];
      const d = Math.hypot(a.x - b.x, a.y - b.y);
      if (b.area > 1.7 * a.area || a.area > 1.7 * b.area || d < 0.85 * radius || d > 1.9 * radius) continue;
      const x = (a.x + b.x) / 2;
      const y = (a.y + b.y) / 2;
      const dx = (a.x - b.x) / 2;
      const dy = (a.y - b.y) / 2;
      pairs.push({
        tone: a.tone, x, y, area: a.area + b.area, peak: Math.min(a.peak, b.peak),
        xx: (a.xx + b.xx) / 2 + dx * dx, xy: (a.xy + b.xy) / 2 + dx * dy, yy: (a.yy + b.yy) / 2 + dy * dy,
        box: {
          x0: Math.min(a.box.x0, b.box.x0), y0: Math.min(a.box.y0, b.box.y0),
          x1: Math.max(a.box.x1, b.box.x1), y1: Math.max(a.box.y1, b.box.y1),
        },
      });
    }
  }
  return pairs;
}

/** Whether a candidate may be this mark by its tone, spread and elongation (not its size, which depends on the scale). */
export function mayBe(candidate: Candidate, mark: Mark): boolean {
  if (mark.tone && mark.tone !== candidate.tone) return false;
  const want = describe(...inkMoments(mark), inkArea(mark));
  const ratio = candidate.spread / want.spread;
  if (mark.shape === "checker") return ratio > 0.6 && ratio < 1.6 && candidate.elongation > 1.8 && candidate.elongation < 14;
  const fine = mark.shape === "ring" || mark.shape === "cross";
  return ratio > (fine ? 0.5 : 0.75) && ratio < (fine ? 2.2 : 1.5) && candidate.elongation < 2.6;
}

/** By so much, on average, the correlation of a mark with its own shape falls short of 1: blur, coarse pixels, uneven light, what stands beside it. */
const SHORT_OF_ITSELF = 0.05;

/** How much a candidate looks like a mark whose own patch is given, as a log likelihood up to a constant: text and texture may have more contrast than a mark in a shade, but seldom its shape. */
export function likeness(candidate: Candidate, mark: Mark, own: Patch): number {
  return Math.log(candidate.peak) - (1 - resemblance(candidate.patch, own, mark)) / SHORT_OF_ITSELF;
}
