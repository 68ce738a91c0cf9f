import { readCodes, type FoundCode, type ReadCode } from "../codes/read.ts";
import type { Payload } from "../job/payload.ts";
import type { Picture } from "../image/picture.ts";
import type { Plane } from "../image/reduce.ts";
import type { Sampler } from "../image/sampler.ts";
import type { Job } from "../job/schema.ts";
import { CLOSE, findCandidates, findingFactor, NARROW, scaleRange, type Candidate, type ScaleRange, type Surroundings } from "../marks/find.ts";
import type { Hypothesis } from "../marks/grow.ts";
import { growFromCorners } from "../marks/growFromCorners.ts";
import { fitLayout, localScale, placeOf } from "../marks/layoutFit.ts";
import { lineUp, type Lineup } from "../marks/lineup.ts";
import type { PlaneMap } from "../marks/localMap.ts";
import { matchLayout, type MatchResult } from "../marks/match.ts";
import { sheetCorners } from "../marks/sheetCorners.ts";
import type { CodeFinder } from "./codeFinder.ts";
import { flatEvidence } from "./flatEvidence.ts";
import { once } from "./once.ts";
import type { Refusal } from "./record.ts";
import { refuse } from "./refusals.ts";
import { refineMarks, type SeenMark } from "./sightings.ts";
import { planeMap, TERM_COUNT, type LensMap, type ViewFrame } from "./viewModel.ts";

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

/** Rivals whose log odds lie closer than this to the best explain nearly as much: about one in a thousand. */
const AMBIGUOUS = 7;
/** The same of those that explain only some of the patches of a view that shows every mark of the job: a mark would have to be hidden, and one of its shape stray just where another view wants it. */
const AMBIGUOUS_IN_PART = 4;
/** Places nearer to each other than this, px, are of one patch. */
const SAME_PATCH = 4;
/** Log odds from which a match needs no confirmation. */
const SURE = 8;
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
  let best: { ranked: Ranked[]; lineup: Lineup } | null = null;
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
    if (ranked.length > 0 && (!best || ranked[0].score > best.ranked[0].score)) best = { ranked, lineup };
    if (best && convincing(job, best.ranked, fewest)) break;
  }
  if (!best || !convincing(job, best.ranked, fewest)) {
    const byCode = rankByCode(picture, job, pool, scale, findCode(), rank);
    if (byCode && byCode.seen.length >= fewest && (!best || byCode.score > best.ranked[0].score)) best = { ranked: [byCode], lineup: byCode.lineup };
  }
  if (!best || !convincing(job, best.ranked, fewest)) {
    const bySheet = rankBySheet(picture, job, pool, scale, rank);
    // A sheet of another job has marks near its corners too.
    if (bySheet && bySheet.ranked[0].seen.length >= Math.max(fewest, GOOD_SHARE * job.marks.length) && (!best || bySheet.ranked[0].score > best.ranked[0].score)) best = bySheet;
  }
  if (!best || best.ranked[0].seen.length < fewest) return notFound(job, best?.ranked[0].seen.length ?? 0, `; ${fewest} are needed`);
  return decide(best.ranked, job);
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

/** The layout placed by a code that is read anywhere in the picture: its corners alone give a view, rough at first. Null where none was found. */
function rankByCode(picture: Picture, job: Job, pool: readonly Candidate[], scale: ScaleRange, code: FoundCode | null, rank: Ranking): (Ranked & { readonly lineup: Lineup }) | null {
  if (!code) return null;
  const [a, b] = code.corners;
  const sigma = CORNER * Math.hypot(a.picture.x - b.picture.x, a.picture.y - b.picture.y);
  const lineup = lineUp(job.marks, pool, scale, picture.width * picture.height, MOST_ASKED);
  const grown = growFromCorners(lineup, picture, code.corners.map((c) => ({ ...c, sigma })));
  const [best] = rankLayouts(job, grown.slice(0, MOST_REFINED), lineup, rank);
  return best ? { ...best, lineup } : null;
}

/** A sheet's edges lie within this of where its print has them, mm (standard uncertainty; common practice, no source). */
const TRIMMED = 1.5;

/** The layout placed by the sheet's own corners, as it may lie and from either hand: among hundreds of patches alike they foretell each mark to a few mm. Null where no sheet is told from the table. */
function rankBySheet(picture: Picture, job: Job, pool: readonly Candidate[], scale: ScaleRange, rank: Ranking): { ranked: Ranked[]; lineup: Lineup } | null {
  const seen = job.state === "in-sheet" ? sheetCorners(picture) : null;
  if (!seen) return null;
  const { width, height } = job.sheet;
  const print = [[0, 0], [width, 0], [width, height], [0, height]].map(([x, y]) => ({ x, y }));
  const round = seen.reduce((sum, p, i) => sum + Math.hypot(p.x - seen[(i + 1) % 4].x, p.y - seen[(i + 1) % 4].y), 0);
  const sigma = (TRIMMED * round) / (2 * (width + height));
  const lineup = lineUp(job.marks, pool, scale, picture.width * picture.height, MOST_ASKED);
  // The likeliest of each way that the sheet may lie: where its layout looks alike in several, they must rival each other.
  const grown = [seen, seen.toReversed()].flatMap((corners) => corners.flatMap((_, turn) => growFromCorners(lineup, picture, print.map((p, i) => ({ print: p, picture: corners[(i + turn) % 4], sigma }))).slice(0, 1)));
  const ranked = rankLayouts(job, grown.sort((a, b) => b.logOdds - a.logOdds), lineup, rank);
  return ranked.length > 0 ? { ranked, lineup } : null;
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

/** How far the evidence for one of several jobs may lie behind another's before refining could make it the better one. */
export const OUT_OF_REACH = 1.5 * AMBIGUOUS;

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

/** The same refined, where refining could still make them the best; best first. */
function rankLayouts(job: Job, hypotheses: readonly Hypothesis[], lineup: Lineup, rank: Ranking): Ranked[] {
  const ranked: Ranked[] = [];
  for (const h of hypotheses) {
    if (h.logOdds <= hypotheses[0].logOdds - OUT_OF_REACH || ranked.some((r) => leavesBehind(r, h, job))) continue;
    ranked.push(rank(h, lineup));
  }
  return ranked.sort((a, b) => b.score - a.score);
}

/** Whether a hypothesis whose every mark has been refined is so much better than another can become, be all that it misses found at last, that the other need not be. */
function leavesBehind({ seen, score }: Ranked, other: Hypothesis, job: Job): boolean {
  const marks = job.marks.length;
  return seen.length === marks && score > SURE && other.logOdds + FOUND_AT_LAST * (marks - other.pairs.length) + mostAgreement(marks) < score - AMBIGUOUS;
}

/** A view that would show a mark larger or smaller than the picture can is none; its marks are not worth refining. */
function plausible(job: Job, { fit }: Hypothesis, range: ScaleRange): boolean {
  return job.marks.every((mark) => {
    const [a, b, c, d] = localScale(fit, mark);
    const scale = Math.sqrt(Math.abs(a * d - b * c));
    return scale > range.least / 2 && scale < 1.5 * range.most;
  });
}

interface Ranked {
  readonly seen: SeenMark[];
  readonly start: Float64Array;
  readonly frame: ViewFrame;
  readonly map: PlaneMap;
  readonly score: number;
  /** By how much it is likelier than a rival for lying in the picture as in a flat scan (see flatEvidence.ts). */
  readonly flat: number;
  /** What a code says that is read where this view has it. */
  readonly code: () => ReadCode<Payload> | null;
}

/** Log odds that a mark adds which refining finds where it was missed, or takes away where one is lost. */
const FOUND_AT_LAST = 4;

/** Refines a hypothesis's marks: those that do not have their shape at full resolution speak against it. */
type Ranking = (hypothesis: Hypothesis, lineup: Lineup) => Ranked;

/** Ranks for one picture and job. What the refined marks say of the same patches is remembered: several attempts come to the same hypotheses. */
function ranking(picture: Picture, sampler: Sampler, job: Job): Ranking {
  const known = new Map<string, { readonly said: number; readonly ranked: Omit<Ranked, "score"> }>();
  return (hypothesis, lineup) => {
    const key = hypothesis.pairs.map(({ mark, candidate }) => `${mark}:${lineup.candidates[candidate].x}:${lineup.candidates[candidate].y}`).sort().join();
    let judged = known.get(key);
    if (!judged) {
      const { frame, parameters: p } = hypothesis.fit;
      const start = new Float64Array(TERM_COUNT);
      start.set([p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7], p[8]]);
      const map = planeMap(start, frame, null);
      const seen = refineMarks(picture, sampler, job, hypothesis, lineup, map);
      const lost = hypothesis.pairs.filter((pair) => !seen.some((s) => s.mark === pair.mark)).length;
      const gained = seen.filter((s) => !hypothesis.pairs.some((pair) => pair.mark === s.mark)).length;
      judged = { said: FOUND_AT_LAST * (gained - lost) + agreement(job, hypothesis, seen), ranked: { seen, start, frame, map, flat: flatnessOf(job, hypothesis, seen), code: once(() => readCodes(sampler, job, map.toPicture)) } };
      known.set(key, judged);
    }
    return { ...judged.ranked, score: hypothesis.logOdds + judged.said };
  };
}

/** Refined places that still lie on one view to this, px (plus what the rough lens leaves), bear the match out. */
const TIGHT = 0.3;

/**
 * Evidence of the refined places: candidates agreed to a pixel or two, refined ones to a fraction; by chance a mark beyond those that the view's own terms
 * take up (about four and a half) would do so with the square of that fraction.
 */
function agreement(job: Job, { fit }: Hypothesis, seen: readonly SeenMark[]): number {
  if (seen.length < 5) return 0;
  const sigma = tightness(fit.frame.picture.half);
  const tight = fitLayout(fit.frame, seen.map((s) => ({ print: job.marks[s.mark], picture: s.refined.at, sigma })), fit.parameters);
  if (!tight) return 0;
  const misfit = seen.reduce((sum, s) => {
    const q = placeOf(tight, job.marks[s.mark]);
    return sum + ((q.x - s.refined.at.x) ** 2 + (q.y - s.refined.at.y) ** 2) / sigma ** 2;
  }, 0);
  return mostAgreement(seen.length) - misfit / 2;
}

function flatnessOf(job: Job, { fit: { frame: { picture: { half } } } }: Hypothesis, seen: readonly SeenMark[]): number {
  return flatEvidence(seen.map((s) => ({ from: job.marks[s.mark], to: s.refined.at })), tightness(half), half);
}

/** How near to one view refined places lie, px: see TIGHT. */
const tightness = (half: number): number => TIGHT + 1e-4 * half;

/** The same of so many marks without any misfit. */
function mostAgreement(marks: number): number {
  return marks < 5 ? 0 : (marks - 4.5) * 2 * Math.log(2 / TIGHT);
}

/** By how much the second is likelier. What a flat scan speaks for counts between rivals only: it says nothing of whether the layout is there. */
const likelier = (a: Ranked, b: Ranked): number => b.score + b.flat - a.score - a.flat;

/** The likeliest of several ways of seeing a layout of so many marks, and what explains nearly as much. */
export function rivalsOf(ranked: readonly Ranked[], marks: number): Ranked[] {
  const [best, ...others] = ranked.toSorted(likelier);
  return [best, ...others.filter((r) => likelier(r, best) < (isPartOf(r, best, marks) ? AMBIGUOUS_IN_PART : AMBIGUOUS) && r.seen.length >= 3)];
}

/** Whether a view shows every mark of the job, and another only some of the same patches. */
function isPartOf(one: Ranked, whole: Ranked, marks: number): boolean {
  const among = ({ refined: { at } }: SeenMark): boolean => whole.seen.some((s) => Math.hypot(s.refined.at.x - at.x, s.refined.at.y - at.y) < SAME_PATCH);
  return whole.seen.length === marks && one.seen.length < whole.seen.length && one.seen.every(among);
}

/** The right one of rivals, if that can be told: a code lies where only the right way of seeing the layout expects it; one on an axis of the layout's symmetry stands there upright only in the right way. */
function settled(rivals: readonly Ranked[]): Ranked | undefined {
  if (rivals.length === 1) return rivals[0];
  const legible = rivals.filter((r) => r.code() !== null);
  return legible.length === 1 ? legible[0] : legible.find((r) => r.code()?.upright);
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
