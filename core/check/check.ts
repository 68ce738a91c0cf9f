import { lensFor } from "../camera/match.ts";
import type { Profile } from "../camera/profile.ts";
import { lightField } from "../cuts/lightField.ts";
import { predictedOffset, type CoarseShift } from "../cuts/register.ts";
import { sampleStrips } from "../cuts/strips.ts";
import { DIRECTIONS, directionOf } from "../cuts/directions.ts";
import { traceCuts, type TracedChunk, type TracedPath } from "../cuts/trace.ts";
import { wallDoubt } from "../cuts/walled.ts";
import type { Picture } from "../image/picture.ts";
import { samplerOf, type Sampler } from "../image/sampler.ts";
import { datumOf, type Job } from "../job/schema.ts";
import { scaleRange } from "../marks/find.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { reach } from "../marks/shapes.ts";
import { MARK_PRINT } from "./budget.ts";
import { cutsSeen, seekCuts } from "./cutsSeen.ts";
import { codeFinder, type CodeFinder } from "./codeFinder.ts";
import { deviationsOf } from "./deviations.ts";
import { foreseenShare } from "./foresight.ts";
import { eyeOver } from "./eyeOver.ts";
import { fitCuts } from "./fitCuts.ts";
import { isFlat } from "./flat.ts";
import type { CutSighting, MarkSighting } from "./equations.ts";
import { knownLens } from "./knownLens.ts";
import { placeLayout, withoutLens, type Placed } from "./place.ts";
import type { CheckOutcome, Refusal } from "./record.ts";
import { refuse } from "./refusals.ts";
import { reportOf } from "./report.ts";
import { sharpestBlur } from "./sharpness.ts";
import { sheetOf, sheetUnder } from "./sheetCode.ts";
import { refineUnder } from "./sightings.ts";
import { solve, type Solution } from "./solve.ts";
import { medianOf } from "../statistics/median.ts";
import { mapOf, nuisancesOf, wavesOf } from "./nuisancesOf.ts";
import { planeMap, scaleOf, viewOf, type LensMap } from "./viewModel.ts";
import { edgeOf, edgePriors, USUAL_THICKNESS, wallOf } from "./edgePriors.ts";
import { backSeenFrom } from "../witness/eye.ts";
import { readWitnesses } from "../witness/read.ts";

export interface CheckOptions {
  /** The picture's name, for the record. */
  readonly image: string;
  /** Profile of the camera or scanner, where there is one. */
  readonly profile?: Profile;
}

/** Fewest marks that a picture can be measured with: contract, at least 4 in a photo, 3 in a scan. */
const FEWEST_IN_PHOTO = 4;
const FEWEST_IN_SCAN = 3;
/** A mark narrower than this, px, cannot be told from a speck. */
const NARROWEST_MARK = 5;
/** Blur (sigma) beyond which a picture is refused, px and mm. */
const MOST_BLUR = 3;

/**
 * One picture of one sheet: find the marks, match the layout, refine, trace the cuts, fit view, lens and cut together, judge. The steps
 * stand in this order below; each may end in a refusal, never in a guess.
 */
export function checkSheet(picture: Picture, job: Job, options: CheckOptions): CheckOutcome {
  const warnings: string[] = [];
  const profile = options.profile ? lensFor(options.profile, picture) : null;
  if (profile) warnings.push(...profile.warnings);
  const lens = knownLens(profile);
  const sampler = samplerOf(picture);
  let sheet: string | undefined = undefined;
  const refused = (refusal: Refusal): CheckOutcome => ({
    record: { format: "kerfmark.check/1", image: options.image, job: job.id, ...(sheet === undefined ? {} : { sheet }), status: "refused", verdict: null, refusal, warnings },
  });

  const coarse = tooCoarse(picture, job);
  if (coarse) return refused(coarse);

  const findCode = codeFinder(picture, job);
  const rough = placeLayout(picture, sampler, job, FEWEST_IN_SCAN, findCode);
  if (!rough.ok) return refused(wrongJobOf(job, findCode) ?? blurRefusal(sampler) ?? smallRefusal(picture, job) ?? rough.refusal);
  const code = sheetOf(rough.payload, job);
  if ("refusal" in code) return refused(code.refusal);
  sheet = code.sheet;
  const flat = isFlat(rough, job, picture.density);
  if (rough.seen.length < FEWEST_IN_PHOTO && !flat) {
    return refused(blurRefusal(sampler) ?? smallRefusal(picture, job) ?? refuse("marks-not-found", `Only ${rough.seen.length} of the job's ${job.marks.length} marks were found; a photo needs ${FEWEST_IN_PHOTO}.`));
  }
  const blur = medianOf(rough.seen.map((s) => s.refined.blur));
  const nuisances = nuisancesOf(picture, job, profile, withoutLens(rough.start, lens), rough.frame, flat);
  const { placed, marks, viewed } = viewByMarks(picture, sampler, job, rough, lens, (by, sightings) => solve({ ...solveInput(job, by, sightings, [], [], lens, flat), nuisances }));
  if (!viewed) return refused(blurRefusal(sampler) ?? refuse("marks-not-found", "The marks found do not fix how the sheet is seen: they lie in a line or too close together."));
  const pxPerMm = scaleOf(viewed.view, viewed.data.frame);
  if (pxPerMm < FEWEST_PX_PER_MM) return refused(tooFewPixels(pxPerMm));
  if (blur / pxPerMm > 1 && blur > MOST_BLUR) return refused(refuse("too-blurred", `The picture is blurred over ${(2 * blur / pxPerMm).toFixed(1)} mm on the sheet.`));

  const waves = wavesOf(picture, job, profile, withoutLens(rough.start, lens), rough.frame, flat);
  const wall = wallOf(job, flat);
  // Only where to look: what the board is bent by is within the search, and the fits take it out.
  const searchMap = planeMap(viewed.view, placed.frame, lens);
  const searchReach = Math.max(3, 3 * job.tolerance.position);
  const sought = Math.min(searchReach, 6);
  const eye = flat ? null : eyeOver(viewOf(viewed.view, placed.frame), picture, profile);
  const strips = sampleStrips(picture, sampler, job, searchMap.toPicture, { reach: sought, blur, pxPerMm, light: lightField(sampler, placed.seen.map((m) => job.marks[m.mark]), searchMap.toPicture) });
  const askew = eye && backSeenFrom(eye, job.sheet.thickness ?? USUAL_THICKNESS);
  const seen = seekCuts(strips, (own) => {
    let sighted: Sighted = { placed, marks };
    const found = traceCuts(strips, job, askew, own);
    const fitted = fitCuts(found, searchMap, lens, (traced, last, doubt, every) => {
      // What marks alone left open of perspective and lens bends their outlines, and draws their middles with them: they are refined under the view that the cuts have helped to find.
      if (last && every === 1) sighted = sightedUnder(picture, sampler, job, sighted, lens, searchMap, mapOf(last, lens));
      const { cuts, index } = cutSightings(traced, found.shift, searchMap, lens, pxPerMm, wall, every);
      return solve({ ...solveInput(job, sighted.placed, sighted.marks, cuts, index, lens, flat), nuisances, waves, markScale: viewed.data.markScale, doubt, onTheWay: every > 1, edgePriors: edgePriors(job, flat, blur / pxPerMm), ...(last ? { start: last.view } : {}) });
    });
    return { ...cutsSeen(fitted, job, placed, sought, () => foreseenShare(viewed, job, searchReach)), sighted };
  });
  // A blurred or coarse picture is why cuts are not seen, whatever else may be.
  if (!seen.ok) return refused(blurRefusal(sampler) ?? sparseRefusal(pxPerMm) ?? seen.refusal);
  const { solution, paths, sighted } = seen;
  const map = mapOf(solution, lens);
  if (!rough.payload) {
    const late = sheetUnder(sampler, job, rough.map, map);
    if ("refusal" in late) return refused(late.refusal);
    sheet = late.sheet;
  }
  const deviations = deviationsOf(job, paths, solution, { seenWith: searchMap, map, wall, sought });
  const witnesses = readWitnesses(sampler, job, map, eye);
  return reportOf({ picture, job, image: options.image, sheet, placed: sighted.placed, solution, deviations, map, profile, pxPerMm, blur, lip: lipOf(paths), wall: wall * Math.sqrt(stepShare(paths)), witnesses, warnings });
}

function tooCoarse(picture: Picture, job: Job): Refusal | null {
  const narrowest = Math.min(...job.marks.map((m) => 2 * reach(m)));
  const px = narrowest * largestScale(picture, job);
  if (px >= NARROWEST_MARK) return null;
  return refuse("resolution-too-low", `The picture has ${picture.width} x ${picture.height} pixels: the job's smallest mark would be ${px.toFixed(1)} pixels wide, and ${NARROWEST_MARK} are needed.`);
}

/** The scale at which the marks would just fit into the picture, px/mm. */
function largestScale(picture: Picture, job: Job): number {
  return 1.3 * scaleRange(job, picture).likely;
}

/** When the layout is not there, a code that says another job tells why. */
function wrongJobOf(job: Job, findCode: CodeFinder): Refusal | null {
  const payload = findCode()?.payload;
  if (!payload?.job || payload.job === job.id) return null;
  return refuse("wrong-job", `The code on the sheet says job "${payload.job}", not "${job.id}".`);
}

function blurRefusal(sampler: Sampler): Refusal | null {
  const blur = sharpestBlur(sampler);
  if (blur === null || blur < MOST_BLUR) return null;
  return refuse("too-blurred", `Even the sharpest edges of the picture are blurred over ${Math.round(2 * blur)} pixels.`);
}

/** Where the marks are not found, too few pixels may be why, however large the sheet is in the picture. */
function smallRefusal(picture: Picture, job: Job): Refusal | null {
  const pxPerMm = largestScale(picture, job);
  if (pxPerMm >= SPARSE_PX_PER_MM) return null;
  return refuse("resolution-too-low", `The picture has ${picture.width} x ${picture.height} pixels: it can show the sheet at ${pxPerMm.toFixed(1)} pixels per mm at the most, and its marks and cuts are too fine to be seen then.`);
}

/** Where the cuts are not seen, too few pixels may be why: a slit of 0.2 mm shows in a third of a pixel at 1.5 px/mm. */
function sparseRefusal(pxPerMm: number): Refusal | null {
  return pxPerMm < SPARSE_PX_PER_MM ? tooFewPixels(pxPerMm) : null;
}
function tooFewPixels(pxPerMm: number): Refusal {
  return refuse("resolution-too-low", `The picture shows the sheet at only ${pxPerMm.toFixed(1)} pixels per mm: the cuts are too fine to be seen in it.`);
}
const SPARSE_PX_PER_MM = 1.5;
/** Of a slit of 0.2 mm a fifth of a pixel: whatever is found there is a guess. */
const FEWEST_PX_PER_MM = 1;

function markSightings(job: Job, placed: Placed, lens: LensMap | null): MarkSighting[] {
  const pxPerMm = scaleOf(placed.start, placed.frame);
  return placed.seen.flatMap(({ mark, refined }) => {
    const seen = lens ? lens.undistort(refined.at) : refined.at;
    if (!seen) return [];
    const { xx, xy, yy } = refined.covariance;
    // What no residual of a single mark shows: the pixel grid, the print's own place.
    const floor = FLOOR_PX ** 2 + (MARK_PRINT * pxPerMm) ** 2;
    return [{ mark, print: { x: job.marks[mark].x, y: job.marks[mark].y }, seen, covariance: { xx: xx + floor, xy, yy: yy + floor } }];
  });
}
/** What no residual of a single mark shows, px: on drawn marks of little noise centres lie off by no more (tests/bench/centring.ts). */
export const FLOOR_PX = 0.005;
/**
 * A cut that is shifted along a bend lies off by another distance at each place of a chunk, and so is smeared in the chunk's mean: by the chunk's turn times its slide along the path. Of that its place is known to this
 * share (standard deviation, from the scatter of chunks drawn by others: the same 0.05 to 0.08 at slides of 0.2 and 0.5 mm, turns of 0.7 and 1.2).
 */
const SMEARED = 0.08;
/** Reading a cut's profile between pixels, px. */
export const BETWEEN_PIXELS = 0.02;

function cutSightings(paths: readonly TracedPath[], shift: CoarseShift, map: PlaneMap, lens: LensMap | null, pxPerMm: number, wall: number, every: number): { cuts: CutSighting[]; index: number[] } {
  const cuts: CutSighting[] = [];
  const index: number[] = [];
  paths.forEach((path, k) => {
    if (path.kind !== "cut") return;
    const walls = Array<number>(DIRECTIONS).fill(0);
    for (const { chunk } of path.chunks) if (chunk.wall) walls[directionOf(chunk)]++;
    // What is alike along a side is not averaged out by its many chunks.
    const ofWall = ({ chunk }: TracedChunk): number => (chunk.wall ? wallDoubt(chunk.wall, path.width) * Math.sqrt(walls[directionOf(chunk)] / every) : 0);
    for (const [n, c] of path.chunks.entries()) {
      if (!c.found || n % every !== 0) continue;
      const norm = Math.hypot(c.chunk.nx, c.chunk.ny) || 1;
      const real = map.toPicture({ x: c.chunk.x + (c.t * c.chunk.nx) / norm, y: c.chunk.y + (c.t * c.chunk.ny) / norm });
      const seen = real && (lens ? lens.undistort(real) : real);
      if (!seen) continue;
      const { x, y, nx, ny, tx, ty, curvature, length } = c.chunk;
      const smeared = SMEARED * curvature * length * predictedOffset(shift, { x, y, nx: tx, ny: ty });
      cuts.push({ print: { x, y }, nx, ny, tx, ty, curvature, seen, sigma: Math.hypot(c.sigma, BETWEEN_PIXELS / pxPerMm, path.look === "step" ? wall : 0, smeared, ofWall(c)), ...edgeOf(path) });
      index.push(k);
    }
  });
  return { cuts, index };
}

function solveInput(job: Job, placed: Placed, marks: readonly MarkSighting[], cuts: readonly CutSighting[], paths: readonly number[], lens: LensMap | null, flat: boolean): Parameters<typeof solve>[0] {
  return { marks, cuts, paths, frame: placed.frame, datum: datumOf(job), lensKnown: lens !== null, start: withoutLens(placed.start, lens), fewestMarks: flat ? FEWEST_IN_SCAN : FEWEST_IN_PHOTO, flat };
}

/** The marks in the picture. */
interface Sighted {
  readonly placed: Placed;
  readonly marks: readonly MarkSighting[];
}

/** The view by the marks alone. Marks that the rough view has drawn off are refined under it, and it is found again. */
function viewByMarks(
  picture: Picture, sampler: Sampler, job: Job, rough: Placed, lens: LensMap | null, solveWith: (placed: Placed, marks: readonly MarkSighting[]) => Solution | null,
): Sighted & { readonly viewed: Solution | null } {
  const first = { placed: rough, marks: markSightings(job, rough, lens) };
  const viewed = solveWith(rough, first.marks);
  if (!viewed) return { ...first, viewed };
  const again = sightedUnder(picture, sampler, job, first, lens, rough.map, mapOf(viewed, lens));
  return { ...again, viewed: again === first ? viewed : solveWith(again.placed, again.marks) };
}

/** The marks refined anew where `view` bends their outlines otherwise than the view they were refined under; what was given where it does so nowhere. */
function sightedUnder(picture: Picture, sampler: Sampler, job: Job, before: Sighted, lens: LensMap | null, refinedUnder: PlaneMap, view: PlaneMap): Sighted {
  const seen = refineUnder(picture, sampler, job, before.placed.seen, refinedUnder, view);
  if (seen.every((s, i) => s === before.placed.seen[i])) return before;
  const placed = { ...before.placed, seen };
  return { placed, marks: markSightings(job, placed, lens) };
}

/** Share of the cuts' length that is an edge over a gap. */
function stepShare(paths: readonly TracedPath[]): number {
  const cuts = paths.filter((p) => p.kind === "cut");
  const all = cuts.reduce((s, p) => s + p.length, 0);
  return all > 0 ? cuts.reduce((s, p) => s + (p.look === "step" ? p.length : 0), 0) / all : 0;
}

/** What lips and shades leave, root mean square over the cuts by length, mm. */
function lipOf(paths: readonly TracedPath[]): number {
  const cuts = paths.filter((p) => p.kind === "cut");
  const length = cuts.reduce((s, p) => s + p.length, 0);
  return length > 0 ? Math.sqrt(cuts.reduce((s, p) => s + p.length * p.lip ** 2, 0) / length) : 0;
}
