import { lensWithError, type LensUncertainty } from "./lensUncertainty.ts";
import type { ProfileMatch } from "../../../core/camera/match.ts";
import type { CutSighting, MarkSighting } from "../../../core/check/fit/equations.ts";
import { edgeOf, edgePriors, wallOf } from "../../../core/check/fit/edgePriors.ts";
import { deviationsOf } from "../../../core/check/report/deviations.ts";
import { knownLens } from "../../../core/check/view/knownLens.ts";
import type { Placed } from "../../../core/check/layout/place.ts";
import type { Measured } from "../../../core/check/record.ts";
import { reportOf } from "../../../core/check/report/report.ts";
import { solve } from "../../../core/check/fit/solve.ts";
import { FLOOR_PX } from "../../../core/check/layout/markSightings.ts";
import { mapOf, nuisancesOf, wavesOf } from "../../../core/check/view/nuisancesOf.ts";
import { planeMap, TERM_COUNT, type LensMap } from "../../../core/check/view/viewModel.ts";
import { directionOf } from "../../../core/cuts/directions.ts";
import type { Picture } from "../../../core/image/picture.ts";
import type { PlaneMap } from "../../../core/marks/localMap.ts";
import type { Job } from "../../../core/job/schema.ts";
import { fitLayout, layoutFrame } from "../../../core/marks/layoutFit.ts";
import { framedArea } from "../../../core/sample/framing.ts";
import { imagingOf, type Imaging } from "../../../core/sample/imaging.ts";
import { makeJob } from "../../../core/sample/jobs.ts";
import { forward } from "../../../core/sample/layerMap.ts";
import { randomOf, seedOf, type Random } from "../../../core/sample/random.ts";
import { sceneOf } from "../../../core/sample/scenarios.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import { cutToPrint, truthOf } from "../../../core/sample/truth.ts";
import { blade, pathsSeen, type Seeing } from "./simulatedCuts.ts";

/** How the sheets are seen: flat, by a camera whose lens must be found, by one with a profile. */
export const KINDS = ["scan", "photo", "lens", "profile"] as const;
export type Kind = (typeof KINDS)[number];

/** A plate bent about an axis of any direction; one with a corner lifted, by the third power; a washboard of two waves along the sheet. */
export const SHAPES = ["plate", "corner", "wave"] as const;
export type BoardShape = (typeof SHAPES)[number];

/** What lies outside the budget's assumptions, or is claimed wrongly; all off by default. */
export interface Breach {
  /** The board stands up by so much, mm (standard deviation over the sheets), seen by a camera. */
  readonly bow?: number;
  /** How it stands up (default a plate). */
  readonly shape?: BoardShape;
  /** Factor on what the profile is off by and says so. */
  readonly looseProfile?: number;
  /** Factor on the uncertainties that go into the fit: below 1 they are claimed too small. */
  readonly claimed?: number;
  /** Neither lips nor slits seen askew, and the budget knows of none: what is left is the fit itself. */
  readonly plain?: boolean;
}

export interface SimulatedSheet {
  readonly record: Measured;
  readonly truth: {
    readonly offset: { readonly x: number; readonly y: number; readonly length: number };
    readonly rotation: number; readonly skew: number; readonly scale: { readonly x: number; readonly y: number };
    /** Size of the largest mean deviation of a stretch, mm: with the blade's wander, and of the common map alone. */
    readonly worst: number;
    readonly worstOfMap: number;
  };
}

/** Standard uncertainty of one mark's print, mm, and of what the pixel grid adds to its centre, px: the budget's and the check's own assumptions. One press prints twice as exactly, another half. */
const MARK_PRINT = 0.003;
const PRESSES = 2;
const GRID_PX = 0.005;

/**
 * One sheet from what would be sighted on it, instead of a picture: jobs, layers, lenses, tilts and noise as in the drawn scenarios, points with noise where the
 * picture would give them. Everything after the sightings is the measurement's own code. Null where it does not solve.
 */
export function simulateSheet(kind: Kind, index: number, seed: number, lenses: LensUncertainty, breach: Breach = {}): SimulatedSheet | null {
  const random = randomOf(seedOf(seed, KINDS.indexOf(kind), index));
  const scene = sceneFor(kind, random);
  const { job } = scene;
  const imaging = imagingOf(scene.imaging, framedArea(job));
  const known = loosened(lenses, breach.looseProfile ?? 1);
  const profile = kind === "profile" && scene.imaging.kind === "camera" ? lensWithError(scene.imaging, known, random) : null;
  const match: ProfileMatch | null = profile && { kind: "camera", lens: profile, covariance: known.covariance, warnings: [] };
  const lens = knownLens(match);
  const show = standing(scene, imaging, kind === "scan" ? 0 : (breach.bow ?? 0) * random.normal(), breach.shape ?? "plate", random.between(0, Math.PI));
  const flat = kind === "scan";
  const marks = marksSeen(scene, show, lens, random, breach.claimed ?? 1, scaleAt(scene, imaging));
  const frame = layoutFrame(marks.map((m) => m.print), imaging);
  const rough = fitLayout(frame, marks.map((m) => ({ print: m.print, picture: m.seen, sigma: 0.3 })));
  if (!rough) return null;
  const start = new Float64Array(TERM_COUNT);
  start.set(rough.parameters.subarray(0, 9));
  if (lens) start[8] = 0;
  const datum = job.datum ?? { x: job.sheet.width / 2, y: job.sheet.height / 2 };
  const picture: Picture = { width: imaging.width, height: imaging.height, channels: 1, data: new Uint8Array(0), transfer: "srgb" };
  const nuisances = nuisancesOf(picture, job, match, start, frame, flat);
  const common = { marks, frame, datum, lensKnown: lens !== null, start, fewestMarks: flat ? 3 : 4, flat, nuisances };
  const viewed = solve({ ...common, cuts: [], paths: [] });
  if (!viewed) return null;
  const searchMap = planeMap(viewed.view, frame, lens);
  const seeing = seeingOf(scene, imaging, random, breach.plain ? 0 : 1);
  const priors = edgePriors(job, flat, seeing.blur / seeing.pxPerMm);
  const blades = blade(job, scene.cutting?.wander ?? 0, random);
  const paths = pathsSeen((p, circle) => show(cutToPrint(scene, p.x, p.y), circle ? 0 : -seeing.depth), searchMap, blades, seeing, random, breach.claimed ?? 1);
  const { cuts, index: ofPath } = cutSightings(paths, searchMap, lens, seeing.pxPerMm, wallOf(job, flat));
  const solution = solve({ ...common, cuts, paths: ofPath, edgePriors: priors, markScale: viewed.data.markScale, waves: wavesOf(picture, job, match, start, frame, flat) });
  if (!solution) return null;
  const map = mapOf(solution, lens);
  const deviations = deviationsOf(job, paths, solution, { seenWith: searchMap, map, wall: wallOf(job, flat), sought: 3 });
  const { record } = reportOf({
    picture, job, image: `${kind}-${index}`, sheet: undefined, placed: placedOf(marks, start, frame, map, seeing.blur), solution, deviations, map,
    profile: match, pxPerMm: seeing.pxPerMm, blur: seeing.blur, wall: wallOf(job, flat) * Math.sqrt(holesShare(blades)), witnesses: [], warnings: [],
  });
  if (record.status !== "measured") return null;
  const truth = truthOf(scene);
  return { record, truth: { offset: truth.offset, rotation: truth.rotation, skew: truth.skew, scale: truth.scale, worst: blades.worst((p) => cutToPrint(scene, p.x, p.y)), worstOfMap: Math.abs(truth.worst.value) } };
}

const SHEETS = [[320, 450], [450, 320], [520, 360], [600, 400], [700, 500]] as const;

/** The drawn scenarios without their artwork; the sheet's folds are left out, as they say nothing of the cut. */
function sceneFor(kind: Kind, random: Random): Scene {
  const few = kind === "lens" ? 10 : 6;
  const made = makeJob({ state: "in-sheet", sheets: SHEETS, marks: [few, 14], qr: false }, random);
  const job: Job = { ...made, cuts: made.cuts.filter((c) => c.kind === "cut") };
  const bent = kind === "lens" ? random.between(-0.12, 0.12) : kind === "profile" ? random.between(-0.25, 0.25) : undefined;
  const board = { name: "white" as const, look: { colour: [0.85, 0.85, 0.85] as const, edge: [0.5, 0.42, 0.3] as const, fibre: 0, fleck: 0, thickness: 1.5 } };
  const turn = 90 * random.whole(0, 3) + (kind === "scan" ? 2 : 8) * random.between(-1, 1);
  return sceneOf(job, random, { scan: kind === "scan", sheets: SHEETS, marks: [few, 14], lookAlikes: 0, k1: bent, mirrored: false, turn, board, hidden: 0 });
}

/** Where the picture shows a point of the print (its own frame), or what lies `above` it, mm, on a board that stands up by `rise` mm. */
function standing(scene: Scene, imaging: Imaging, rise: number, shape: BoardShape, direction: number): (p: { x: number; y: number }, above?: number) => { x: number; y: number } {
  const { width, height } = scene.job.sheet;
  const [c, s] = [Math.cos(direction), Math.sin(direction)];
  const shapes: Readonly<Record<BoardShape, (X: number, Y: number) => number>> = {
    plate: (X, Y) => 1 - (c * X + s * Y) ** 2,
    corner: (X, Y) => ((1 + Math.sign(c) * X) / 2 * ((1 + Y) / 2)) ** 1.5,
    wave: (X) => 0.5 * Math.cos(2 * Math.PI * X + direction),
  };
  return (p, above = 0) => {
    const b = forward(scene.print, p.x, p.y);
    return imaging.toPicture(b.x, b.y, above + (rise === 0 ? 0 : rise * shapes[shape]((2 * b.x) / width - 1, (2 * b.y) / height - 1)));
  };
}

function loosened({ covariance, factor }: LensUncertainty, by: number): LensUncertainty {
  return { covariance: covariance.map((row) => row.map((v) => by * by * v)), factor: factor.map((row) => row.map((v) => by * v)) };
}

function marksSeen(scene: Scene, show: (p: { x: number; y: number }) => { x: number; y: number }, lens: LensMap | null, random: Random, claimed: number, pxPerMm: number): MarkSighting[] {
  // About what a dot of 40 px at this noise and a blur of 1 px allows, which is what real marks come to within a factor of two.
  const sigma = 0.006 * (random.between(0.005, 0.04) / 0.02) * random.between(0.7, 1.6);
  const print = MARK_PRINT * PRESSES ** random.between(-1, 1);
  return scene.job.marks.flatMap((m, mark) => {
    const q = show({ x: m.x + print * random.normal(), y: m.y + print * random.normal() });
    const real = { x: q.x + sigma * random.normal() + GRID_PX * random.normal(), y: q.y + sigma * random.normal() + GRID_PX * random.normal() };
    const seen = lens ? lens.undistort(real) : real;
    if (!seen) return [];
    // A variance from some two hundred pixels is itself known to a tenth.
    const variance = (claimed * sigma * (1 + 0.05 * random.normal())) ** 2 + (claimed * FLOOR_PX) ** 2 + (claimed * MARK_PRINT * pxPerMm) ** 2;
    return [{ mark, print: { x: m.x, y: m.y }, seen, covariance: { xx: variance, xy: 0, yy: variance } }];
  });
}

/** Scale in the middle of the sheet. */
function scaleAt(scene: Scene, imaging: Imaging): number {
  const centre = { x: scene.job.sheet.width / 2, y: scene.job.sheet.height / 2 };
  const [a, b, c] = [imaging.toPicture(centre.x, centre.y), imaging.toPicture(centre.x + 1, centre.y), imaging.toPicture(centre.x, centre.y + 1)];
  return Math.sqrt(Math.abs((b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)));
}

/** The budget's own assumptions (core/check/uncertainty/budget.ts), and what a chunk's mean leaves of the blade's wander. */
const PULL_SHARE = 0.4;
const SLIT_DEPTH = 0.02;
const CHUNK_MEANS = 0.65;

function seeingOf(scene: Scene, imaging: Imaging, random: Random, lips: number): Seeing {
  const pxPerMm = scaleAt(scene, imaging);
  const blur = Math.max(scene.sensor.blur.x, scene.sensor.blur.y);
  const lip = lips * random.between(0, 0.1) * Math.hypot(0.08, blur / pxPerMm);
  const lipTotal = lips * Math.hypot(lip, (0.01 * Math.max(blur, 0.7)) / pxPerMm);
  const depth = lips * SLIT_DEPTH * random.normal();
  const light = { x: lipTotal * random.normal(), y: lipTotal * random.normal() };
  const fibre = random.between(0.001, 0.006);
  // As the budget has it ("artwork and blade along whole sides"): what scatters single pieces draws whole sides by a share of that. Chunks of 5 mm mean a wander with knots 3 mm apart to two thirds.
  const pull = lips * PULL_SHARE * Math.hypot(CHUNK_MEANS * (scene.cutting?.wander ?? 0), fibre);
  const ofDirection = Array.from({ length: 16 }, () => lipTotal * random.normal());
  const pulled = Array.from({ length: 16 }, () => pull * random.normal());
  const byLight = random.chance(0.5);
  // What lies alike all round each piece: lip and shade on one side of a slit, the wall at the foot of a lost slug.
  const priors = edgePriors(scene.job, scene.imaging.kind === "scanner", blur / pxPerMm);
  const [line, step] = [lips * priors.line * random.normal(), -lips * priors.step * random.normal()];
  return {
    pxPerMm, blur, lip, depth, sigma: (random.between(0.01, 0.05) / pxPerMm), fibre, lost: random.between(0, 0.1), strays: random.between(0, 0.005),
    bias: (nx, ny, circle) => (circle ? step : line) + (byLight ? nx * light.x + ny * light.y : ofDirection[directionOf({ nx, ny })]) + pulled[directionOf({ nx, ny })],
  };
}

/** As the check makes them (core/check/tracing/cutSightings.ts). */
function cutSightings(paths: ReturnType<typeof pathsSeen>, map: PlaneMap, lens: LensMap | null, pxPerMm: number, wall: number): { cuts: CutSighting[]; index: number[] } {
  const cuts: CutSighting[] = [];
  const index: number[] = [];
  paths.forEach((path, k) => {
    for (const c of path.chunks) {
      if (!c.found) continue;
      const norm = Math.hypot(c.chunk.nx, c.chunk.ny) || 1;
      const real = map.toPicture({ x: c.chunk.x + (c.t * c.chunk.nx) / norm, y: c.chunk.y + (c.t * c.chunk.ny) / norm });
      const seen = real && (lens ? lens.undistort(real) : real);
      if (!seen) continue;
      const { x, y, nx, ny, tx, ty, curvature } = c.chunk;
      cuts.push({ print: { x, y }, nx, ny, tx, ty, curvature, seen, sigma: Math.hypot(c.sigma, 0.02 / pxPerMm, path.look === "step" ? wall : 0), lip: c.lip ?? 0, ...edgeOf(path) });
      index.push(k);
    }
  });
  return { cuts, index };
}

/** Share of the cuts' length that is lost slugs. */
function holesShare({ subpaths }: ReturnType<typeof blade>): number {
  const length = (some: typeof subpaths): number => some.reduce((s, p) => s + p.path.length, 0);
  return length(subpaths.filter((p) => p.circle)) / length(subpaths);
}

function placedOf(marks: readonly MarkSighting[], start: Float64Array, frame: Placed["frame"], map: Placed["map"], blur: number): Placed {
  const seen = marks.map(({ mark, seen: at, covariance }) => ({ mark, refined: { ok: true as const, at, covariance, gain: 0, blur, contrast: -0.7, noise: 0.01 } }));
  return { ok: true, seen, start, frame, map, payload: null, sure: true };
}
