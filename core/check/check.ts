import { lensFor } from "../camera/match.ts";
import type { Profile } from "../camera/profile.ts";
import { bareBoard } from "../cuts/strips/bareBoard.ts";
import { lightField } from "../cuts/strips/lightField.ts";
import { cutShare } from "../cuts/evidence/cutShare.ts";
import { sampleStrips, type Strips } from "../cuts/strips/strips.ts";
import { traceCuts, type TracedPath } from "../cuts/trace.ts";
import type { Picture } from "../image/picture.ts";
import { samplerOf } from "../image/sampler.ts";
import { datumOf, type Job } from "../job/schema.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { medianOf } from "../statistics/median.ts";
import { backSeenFrom, type Eye } from "../witness/eye.ts";
import { readWitnesses } from "../witness/read.ts";
import { mayBePrinted } from "./tracing/allRound.ts";
import { codeFinder, type CodeFinder } from "./layout/codeFinder.ts";
import { cutSightings } from "./tracing/cutSightings.ts";
import { cutsSeen, seekCuts } from "./tracing/cutsSeen.ts";
import { deviationsOf } from "./report/deviations.ts";
import { brightBeyond, edgePriors, lipsOf, USUAL_THICKNESS, wallOf } from "./fit/edgePriors.ts";
import { eyeOver } from "./view/eyeOver.ts";
import { fitCuts } from "./tracing/fitCuts.ts";
import { isFlat } from "./layout/flat.ts";
import { foreseenShare } from "./tracing/foresight.ts";
import { knownLens } from "./view/knownLens.ts";
import { sightedUnder, viewByMarks, type Sighted } from "./layout/markSightings.ts";
import type { Nuisance } from "./view/nuisance.ts";
import { mapOf, nuisancesOf, wavesOf } from "./view/nuisancesOf.ts";
import { once } from "./once.ts";
import { liesOnSheet } from "./layout/onSheet.ts";
import { blurRefusal, smallRefusal, sparseRefusal, tooCoarse, viewRefusal } from "./pictureFaults.ts";
import { placeLayout, withoutLens, type Placed } from "./layout/place.ts";
import type { CheckOutcome, Refusal } from "./record.ts";
import { refuse } from "./refusals.ts";
import { reportOf } from "./report/report.ts";
import { sheetOf, sheetUnder } from "./layout/sheetCode.ts";
import type { Solution, SolveInput } from "./fit/solution.ts";
import { solve } from "./fit/solve.ts";
import type { Subject } from "./subject.ts";
import { planeMap, scaleOf, viewOf } from "./view/viewModel.ts";

export interface CheckOptions {
  /** The picture's name, for the record. */
  readonly image: string;
  /** Profile of the camera or scanner, where there is one. */
  readonly profile?: Profile;
}

/** Fewest marks that a picture can be measured with: contract, at least 4 in a photo, 3 in a scan. */
const FEWEST_IN_PHOTO = 4;
const FEWEST_IN_SCAN = 3;

/** Why a step could not be taken, with the sheet's number where it is known by then. */
interface Refused {
  readonly refusal: Refusal;
  readonly sheet?: string | undefined;
}

/**
 * One picture of one sheet: find the marks, match the layout, refine, trace the cuts, fit view, lens and cut together, judge. The steps
 * stand in this order below; each may end in a refusal, never in a guess.
 */
export function checkSheet(picture: Picture, job: Job, options: CheckOptions): CheckOutcome {
  const known = options.profile ? lensFor(options.profile, picture) : null;
  const warnings = [...(known?.warnings ?? [])];
  const subject: Subject = { picture, sampler: samplerOf(picture), job, profile: known, lens: knownLens(known) };
  const refused = ({ refusal, sheet }: Refused): CheckOutcome => ({
    record: { format: "kerfmark.check/1", image: options.image, job: job.id, ...(sheet === undefined ? {} : { sheet }), status: "refused", verdict: null, refusal, warnings },
  });
  const layout = findLayout(subject);
  if ("refusal" in layout) return refused(layout);
  // Marks of another job's sheet may fit the layout somehow, and then nothing else does.
  const unseen = ({ refusal }: Refused): CheckOutcome => refused({ refusal: (layout.rough.payload ? null : wrongJobOf(job, layout.findCode)) ?? refusal, sheet: layout.sheet });
  const seen = seeSheet(subject, layout);
  if ("refusal" in seen) return unseen(seen);
  const cuts = seeCuts(subject, layout, seen);
  if ("refusal" in cuts) return unseen(cuts);
  const code = layout.rough.payload ? layout : sheetUnder(subject.sampler, job, layout.rough.map, cuts.map);
  if ("refusal" in code) return refused(code);
  const { solution, paths, sighted, map } = cuts;
  const deviations = deviationsOf(job, paths, solution, { seenWith: seen.map, map, wall: cuts.wall, sought: cuts.sought });
  const witnesses = readWitnesses(subject.sampler, job, map, cuts.eye);
  return reportOf({
    picture, job, image: options.image, sheet: code.sheet, placed: sighted.placed, solution, deviations, map, profile: known, pxPerMm: seen.pxPerMm, blur: seen.blur,
    wall: cuts.wall * Math.sqrt(cutShare(paths, (path) => path.look === "step")), witnesses, warnings,
  });
}

/** The layout as it was found and what its code says. */
interface Layout {
  readonly rough: Placed;
  readonly sheet: string | undefined;
  /** Whether the picture is a scan (see flat.ts). */
  readonly flat: boolean;
  readonly findCode: CodeFinder;
}

/** Which mark is where, and whose sheet it is. */
function findLayout({ picture, sampler, job }: Subject): Layout | Refused {
  const coarse = tooCoarse(picture, job);
  if (coarse) return { refusal: coarse };
  const findCode = codeFinder(picture, job);
  const rough = placeLayout(picture, sampler, job, FEWEST_IN_SCAN, findCode);
  if (!rough.ok) return { refusal: wrongJobOf(job, findCode) ?? blurRefusal(sampler) ?? smallRefusal(picture, job) ?? rough.refusal };
  const code = sheetOf(rough.payload, job);
  if ("refusal" in code) return code;
  const flat = isFlat(rough, job, picture.density);
  if (rough.seen.length >= FEWEST_IN_PHOTO || flat) return { rough, sheet: code.sheet, flat, findCode };
  const few = refuse("marks-not-found", `Only ${rough.seen.length} of the job's ${job.marks.length} marks were found; a photo needs ${FEWEST_IN_PHOTO}.`);
  return { refusal: blurRefusal(sampler) ?? smallRefusal(picture, job) ?? few, sheet: code.sheet };
}

/** How the sheet is seen, as its marks tell. */
interface SeenSheet extends Sighted {
  readonly viewed: Solution;
  readonly nuisances: readonly Nuisance[];
  /** Only where to look for cuts: what the board is bent by is within the search, and the fits take it out. */
  readonly map: PlaneMap;
  readonly pxPerMm: number;
  /** Sigma of the blur at the marks, px. */
  readonly blur: number;
}

/** The view by the marks alone, sharp and large enough to see cuts in. */
function seeSheet(subject: Subject, { rough, flat }: Layout): SeenSheet | Refused {
  const { picture, sampler, job, profile, lens } = subject;
  const nuisances = nuisancesOf(picture, job, profile, withoutLens(rough.start, lens), rough.frame, flat);
  const { placed, marks, viewed } = viewByMarks(subject, rough, (sighted) => solve({ ...solveInput(subject, sighted, flat), nuisances }));
  if (!viewed) return { refusal: blurRefusal(sampler) ?? refuse("marks-not-found", "The marks found do not fix how the sheet is seen: they lie in a line or too close together.") };
  const pxPerMm = scaleOf(viewed.view, viewed.data.frame);
  const blur = medianOf(rough.seen.map((s) => s.refined.blur));
  const refusal = viewRefusal(pxPerMm, blur);
  return refusal ? { refusal } : { placed, marks, viewed, nuisances, map: planeMap(viewed.view, placed.frame, lens), pxPerMm, blur };
}

/** The cuts as they were found, with view and cut fitted to them together. */
interface SeenCuts {
  readonly solution: Solution;
  readonly paths: readonly TracedPath[];
  readonly sighted: Sighted;
  readonly map: PlaneMap;
  /** What the board's wall leaves to an edge's place, mm (standard uncertainty). */
  readonly wall: number;
  /** How far from their places the cuts were looked for, mm. */
  readonly sought: number;
  /** Where the board is seen from; null in a scan. */
  readonly eye: Eye | null;
}

/** Traces the cuts and fits to them; what was found must be the cuts. */
function seeCuts(subject: Subject, { rough, flat }: Layout, seen: SeenSheet): SeenCuts | Refused {
  const { picture, sampler, job, profile, lens } = subject;
  const { placed, viewed, nuisances, pxPerMm, blur } = seen;
  const waves = wavesOf(picture, job, profile, withoutLens(rough.start, lens), rough.frame, flat);
  const wall = wallOf(job, flat);
  const reach = Math.max(3, 3 * job.tolerance.position);
  const sought = Math.min(reach, 6);
  const eye = flat ? null : eyeOver(viewOf(viewed.view, placed.frame), picture, profile);
  const marks = placed.seen.map((m) => job.marks[m.mark]);
  const { toPicture } = seen.map;
  const looked = { reach: sought, blur, pxPerMm, light: lightField(sampler, marks, toPicture), board: bareBoard(picture, marks, toPicture) };
  const strips = sampleStrips(picture, sampler, job, toPicture, looked);
  // Beside a stripped piece hues show its shadow and what it lies on.
  const inHues = (): Strips | null => (picture.channels === 3 && job.state === "in-sheet" ? sampleStrips(picture, sampler, job, toPicture, { ...looked, inHues: true }) : null);
  const askew = eye && backSeenFrom(eye, job.sheet.thickness ?? USUAL_THICKNESS);
  const onSheet = once(() => liesOnSheet(picture, job, seen.map));
  const cuts = seekCuts(strips, inHues, (some, as) => {
    let sighted: Sighted = seen;
    const found = traceCuts(some, job, askew, as);
    const fitted = fitCuts(found, seen.map, lens, (traced, last, doubt, every) => {
      // What marks alone left open of perspective and lens bends their outlines, and draws their middles with them: they are refined under the view that the cuts have helped to find.
      if (last && every === 1) sighted = sightedUnder(subject, sighted, seen.map, mapOf(last, lens));
      const chunks = cutSightings(traced, every, { shift: found.shift, map: seen.map, lens, pxPerMm, wall });
      return solve({
        ...solveInput(subject, sighted, flat), ...chunks, nuisances, waves, markScale: viewed.data.markScale, doubt, onTheWay: every > 1,
        edgePriors: edgePriors(job, flat, blur / pxPerMm, brightBeyond(traced), lipsOf(traced)), ...(last ? { start: last.view } : {}),
      });
    });
    return { ...cutsSeen(fitted, job, placed, sought, () => foreseenShare(viewed, job, reach), onSheet), sighted };
  });
  // A blurred or coarse picture is why cuts are not seen, whatever else may be.
  if (!cuts.ok) return { refusal: blurRefusal(sampler) ?? sparseRefusal(pxPerMm) ?? cuts.refusal };
  if (mayBePrinted(cuts, strips.grid)) {
    return { refusal: refuse("cuts-not-found", "Two lines run along all of the cuts, and nothing tells which of them is the slit and which is printed.", "Print no line so near to the cuts; measure this sheet by hand.") };
  }
  return { ...cuts, map: mapOf(cuts.solution, lens), wall, sought, eye };
}

/** What marks alone tell `solve`; cuts are added to it. */
function solveInput({ job, lens }: Subject, { placed, marks }: Sighted, flat: boolean): SolveInput {
  return {
    marks, cuts: [], paths: [], frame: placed.frame, datum: datumOf(job), lensKnown: lens !== null, start: withoutLens(placed.start, lens),
    fewestMarks: flat ? FEWEST_IN_SCAN : FEWEST_IN_PHOTO, flat,
  };
}

/** When the layout or the cuts are not there, a code that says another job tells why. */
function wrongJobOf(job: Job, findCode: CodeFinder): Refusal | null {
  const payload = findCode()?.payload;
  if (!payload?.job || payload.job === job.id) return null;
  return refuse("wrong-job", `The code on the sheet says job "${payload.job}", not "${job.id}".`);
}
