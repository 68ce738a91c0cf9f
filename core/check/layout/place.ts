import type { FoundCode } from "../../codes/read.ts";
import type { Payload } from "../../job/payload.ts";
import type { Picture } from "../../image/picture.ts";
import type { Plane } from "../../image/reduce.ts";
import type { Sampler } from "../../image/sampler.ts";
import type { Job } from "../../job/schema.ts";
import { CLOSE, findCandidates, findingFactor, NARROW, scaleRange, type Candidate, type ScaleRange, type Surroundings } from "../../marks/find.ts";
import type { Hypothesis } from "../../marks/grow.ts";
import { growFromCorners } from "../../marks/growFromCorners.ts";
import { localScale } from "../../marks/layoutFit.ts";
import { lineUp } from "../../marks/lineup.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { matchLayout, type MatchResult } from "../../marks/match.ts";
import { printedCorners, sheetCorners } from "../../marks/sheetCorners.ts";
import type { CodeFinder } from "./codeFinder.ts";
import { AMBIGUOUS, rankLayouts, ranking, rivalsOf, settled, SURE, type Ranked, type Ranking } from "./rankLayouts.ts";
import type { Refusal } from "../record.ts";
import { refuse } from "../refusals.ts";
import type { SeenMark } from "./sightings.ts";
import type { LensMap, ViewFrame } from "../view/viewModel.ts";

/** The layout found in the picture: which mark is where, a rough view, and what the code says. */
export interface Placed {
  readonly ok: true;
  readonly seen: readonly SeenMark[];
  /** View terms to start from (see viewModel.ts), in the picture as it is. */
  readonly start: Float64Array;
  readonly frame: ViewFrame;
  readonly map: PlaneMap;
  readonly payload: Payload | null;
  /** Whether the match alone is beyond doubt; if not, the cuts must confirm it. */
  readonly sure: boolean;
}

export interface NotPlaced {
  readonly ok: false;
  readonly refusal: Refusal;
}

/** Hypotheses refined per attempt at the most: few marks say little before they are refined, and cost little. */
const MOST_REFINED = 3;
const MOST_REFINED_OF_FEW = 6;
const FEW = 6;
const REFINED_AT_A_GLANCE = 2;
/** Below this share of the layout (and of the evidence) other planes and a finer copy are tried. */
const GOOD_SHARE = 0.6;

/** Finds the layout: candidates in grey first, then finer and in single colours where that does not suffice; both hands; rivals weighed. */
export function placeLayout(picture: Picture, sampler: Sampler, job: Job, fewest: number, findCode: CodeFinder): Placed | NotPlaced {
  const scale = scaleRange(job, picture);
  const factor = findingFactor(job, scale.likely);
  const colour: Plane[] = picture.channels === 3 ? ["red", "green", "blue"] : [];
  // The likest candidates first; a finer copy, other planes and more candidates where those do not suffice.
  const finer = Math.max(1, factor >> 1);
  const attempts: Attempt[] = [
    { factor, plane: "grey", most: FIRST_ASKED }, { factor: finer, plane: "grey", most: FIRST_ASKED, around: NARROW }, ...(finer < factor ? [{ factor: finer, plane: "grey", most: MORE_ASKED } as const] : []),
    ...colour.map((plane) => ({ factor, plane, most: FIRST_ASKED })), { factor, plane: "grey", most: MOST_ASKED },
    { factor: finer, plane: "grey", most: FIRST_ASKED, around: CLOSE },
  ];
  const rank = ranking(picture, sampler, job);
  let pool: Candidate[] = [];
  let best: Ranked[] | null = null;
  const isBetter = (ranked: readonly Ranked[], least: number): boolean => ranked.length > 0 && ranked[0].seen.length >= least && (!best || ranked[0].score > best[0].score);
  const isFound = (): boolean => best !== null && convincing(job, best, fewest);
  for (const attempt of attempts) {
    const found = findCandidates(picture, job, scale, attempt.factor, attempt.plane, attempt.around);
    // What close surroundings show is another reading of the same patches, not more of them.
    const candidates = attempt.around === undefined ? merge(pool, found) : found;
    if (attempt.around === undefined) {
      if (attempt.most === FIRST_ASKED && candidates.length === pool.length) continue;
      pool = candidates;
    }
    const { hypotheses, lineup } = plausibleLayouts(picture, job, candidates, scale, attempt.most);
    const ranked = rankLayouts(job, hypotheses.slice(0, job.marks.length <= FEW ? MOST_REFINED_OF_FEW : MOST_REFINED), lineup, rank);
    if (isBetter(ranked, 0)) best = ranked;
    if (isFound()) break;
  }
  if (!isFound()) {
    const byCode = rankByCode(picture, job, pool, scale, findCode(), rank);
    if (isBetter(byCode, fewest)) best = byCode;
  }
  if (!isFound()) {
    const bySheet = rankBySheet(picture, job, pool, scale, rank);
    // A sheet of another job has marks near its corners too.
    if (isBetter(bySheet, Math.max(fewest, GOOD_SHARE * job.marks.length))) best = bySheet;
  }
  if (!best || best[0].seen.length < fewest) return notFound(job, best?.[0].seen.length ?? 0, `; ${fewest} are needed`);
  return decide(best, job);
}

function notFound(job: Job, found: number, why = ""): NotPlaced {
  return { ok: false, refusal: refuse("marks-not-found", `${found === 0 ? "None" : `Only ${found}`} of the job's ${job.marks.length} marks ${found < 2 ? "was" : "were"} found where the layout wants them${why}.`) };
}

/** Four marks say nothing by their places alone, and the pose a little against themselves; that all have their shape, and no other four have, is what speaks for them. */
const SAYS_NOTHING = -1;

/**
 * Much of the layout is seen beyond doubt, or all of it in its own shape while no other way comes near or a code stands where it has to: further attempts could not say more. Where another way of seeing it
 * comes near, a finer copy may part them.
 */
function convincing(job: Job, ranked: readonly Ranked[], fewest: number): boolean {
  const [best, second] = ranked;
  if (best.seen.length >= Math.max(fewest, GOOD_SHARE * job.marks.length) && best.score > SURE && settled(rivalsOf(ranked, job.marks.length))) return true;
  if (best.seen.length < job.marks.length || best.score <= SAYS_NOTHING) return false;
  return (second?.score ?? -Infinity) < best.score - AMBIGUOUS || best.code()?.upright === true;
}

/** Standard uncertainty of a code's corner, as a share of its side: half a module of a small symbol. */
const CORNER = 0.02;

/** The layout placed by a code that is read anywhere in the picture: its corners alone give a view, rough at first. None where no code was found. */
function rankByCode(picture: Picture, job: Job, pool: readonly Candidate[], scale: ScaleRange, code: FoundCode | null, rank: Ranking): Ranked[] {
  if (!code) return [];
  const [a, b] = code.corners;
  const sigma = CORNER * Math.hypot(a.picture.x - b.picture.x, a.picture.y - b.picture.y);
  const lineup = lineUp(job.marks, pool, scale, picture.width * picture.height, MOST_ASKED);
  const grown = growFromCorners(lineup, picture, code.corners.map((c) => ({ ...c, sigma })));
  return rankLayouts(job, grown.slice(0, MOST_REFINED), lineup, rank).slice(0, 1);
}

/** A sheet's edges lie within this of where its print has them, mm (standard uncertainty; common practice, no source). */
const TRIMMED = 1.5;

/** The layout placed by the sheet's own corners, as it may lie and from either hand: among hundreds of patches alike they foretell each mark to a few mm. None where no sheet is told from the table. */
function rankBySheet(picture: Picture, job: Job, pool: readonly Candidate[], scale: ScaleRange, rank: Ranking): Ranked[] {
  const seen = job.state === "in-sheet" ? sheetCorners(picture) : null;
  if (!seen) return [];
  const { width, height } = job.sheet;
  const print = printedCorners(job.sheet);
  const round = seen.reduce((sum, p, i) => sum + Math.hypot(p.x - seen[(i + 1) % 4].x, p.y - seen[(i + 1) % 4].y), 0);
  const sigma = (TRIMMED * round) / (2 * (width + height));
  const lineup = lineUp(job.marks, pool, scale, picture.width * picture.height, MOST_ASKED);
  // The likeliest of each way that the sheet may lie: where its layout looks alike in several, they must rival each other.
  const grown = [seen, seen.toReversed()].flatMap((corners) => corners.flatMap((_, turn) => growFromCorners(lineup, picture, print.map((p, i) => ({ print: p, picture: corners[(i + turn) % 4], sigma }))).slice(0, 1)));
  return rankLayouts(job, grown.sort((a, b) => b.logOdds - a.logOdds), lineup, rank);
}

/** One way to look for marks: how far the picture is reduced, in which colours, how many candidates of a kind are asked, and what surrounds them. */
interface Attempt {
  readonly factor: number;
  readonly plane: Plane;
  readonly most: number;
  readonly around?: Surroundings;
}
/** Candidates of a kind that are asked at first, on a finer copy, and at last. */
const FIRST_ASKED = 60;
const MORE_ASKED = 120;
const MOST_ASKED = 250;

/** What a first look shows of a job's layout. */
export interface Glance {
  /** Evidence for the layout (log odds) by the places of the patches alone. */
  readonly logOdds: number;
  /** Beyond doubt by that alone. */
  readonly sure: boolean;
  /** Refines the marks found: the evidence then, and whether so much of the layout is there that only the whole check can say. */
  refined(): { readonly score: number; readonly likely: boolean };
}

/** A first look for a job's layout, which costs a small part of `placeLayout`: enough to say which of several jobs a sheet is of. Null where nothing fits. */
export function glanceAtLayout(picture: Picture, sampler: Sampler, job: Job): Glance | null {
  const scale = scaleRange(job, picture);
  const candidates = findCandidates(picture, job, scale, findingFactor(job, scale.likely), "grey");
  const { hypotheses, lineup } = plausibleLayouts(picture, job, candidates, scale, FIRST_ASKED);
  const [best] = hypotheses;
  if (!best) return null;
  const refined = () => {
    const [{ score, seen }] = rankLayouts(job, hypotheses.slice(0, REFINED_AT_A_GLANCE), lineup, ranking(picture, sampler, job));
    return { score, likely: score > 0 && seen.length >= GOOD_SHARE * job.marks.length };
  };
  return { logOdds: best.logOdds, sure: best.logOdds > SURE && best.pairs.length >= GOOD_SHARE * job.marks.length, refined };
}

/** The layouts that the candidates may show, best first. */
function plausibleLayouts(picture: Picture, job: Job, candidates: readonly Candidate[], scale: ScaleRange, most: number): MatchResult {
  const { hypotheses, lineup } = matchLayout(job.marks, candidates, scale, picture, most);
  return { hypotheses: hypotheses.filter((h) => plausible(job, h, scale)), lineup };
}

/** A view that would show a mark larger or smaller than the picture can is none; its marks are not worth refining. */
function plausible(job: Job, { fit }: Hypothesis, range: ScaleRange): boolean {
  return job.marks.every((mark) => {
    const [a, b, c, d] = localScale(fit, mark);
    const scale = Math.sqrt(Math.abs(a * d - b * c));
    return scale > range.least / 2 && scale < 1.5 * range.most;
  });
}

function decide(ranked: readonly Ranked[], job: Job): Placed | NotPlaced {
  const rivals = rivalsOf(ranked, job.marks.length);
  const right = settled(rivals);
  if (!right) {
    // What chance shows as well, and less than most of the layout, is no layout.
    const [{ score, seen }] = rivals;
    if (score < 0 && seen.length < GOOD_SHARE * job.marks.length) return notFound(job, seen.length);
    return { ok: false, refusal: refuse("marks-ambiguous", `The marks found fit the layout in ${rivals.length} different ways, and no code tells which is right.`) };
  }
  const { seen, start, frame, map, score, code } = right;
  return { ok: true, seen, start, frame, map, payload: code()?.content ?? null, sure: code() !== null || score > SURE };
}

/** Adds candidates that are not there yet: one mark seen in several planes is one candidate. */
function merge(pool: readonly Candidate[], more: readonly Candidate[]): Candidate[] {
  if (pool.length === 0) return [...more];
  const cell = 8;
  const key = (x: number, y: number): number => Math.round(x / cell) * 1_000_003 + Math.round(y / cell);
  const taken = new Set<number>();
  for (const c of pool) for (const dx of [-1, 0, 1]) for (const dy of [-1, 0, 1]) taken.add(key(c.x + dx * cell, c.y + dy * cell) * 2 + (c.tone === "dark" ? 1 : 0));
  return [...pool, ...more.filter((c) => !taken.has(key(c.x, c.y) * 2 + (c.tone === "dark" ? 1 : 0)))];
}

/** The start of the view fit in the ideal picture of a known lens: the same terms without the lens term that stood in for it. */
export function withoutLens(start: Float64Array, lens: LensMap | null): Float64Array {
  if (!lens) return start;
  const terms = start.slice();
  terms[8] = 0;
  return terms;
}
