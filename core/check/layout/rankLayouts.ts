import { readCodes, type ReadCode } from "../../codes/read.ts";
import type { Payload } from "../../job/payload.ts";
import type { Picture } from "../../image/picture.ts";
import type { Sampler } from "../../image/sampler.ts";
import type { Job } from "../../job/schema.ts";
import type { Hypothesis } from "../../marks/grow.ts";
import { fitLayout, placeOf } from "../../marks/layoutFit.ts";
import type { Lineup } from "../../marks/lineup.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { flatEvidence } from "./flatEvidence.ts";
import { once } from "../once.ts";
import { refineMarks, type SeenMark } from "./sightings.ts";
import { planeMap, TERM_COUNT, type ViewFrame } from "../view/viewModel.ts";

/** Rivals whose log odds lie closer than this to the best explain nearly as much: about one in a thousand. */
export const AMBIGUOUS = 7;
/** The same of those that explain only some of the patches of a view that shows every mark of the job: a mark would have to be hidden, and one of its shape stray just where another view wants it. */
const AMBIGUOUS_IN_PART = 4;
/** Places nearer to each other than this, px, are of one patch. */
const SAME_PATCH = 4;
/** Log odds from which a match needs no confirmation. */
export const SURE = 8;
/** How far the evidence for one of several jobs may lie behind another's before refining could make it the better one. */
export const OUT_OF_REACH = 1.5 * AMBIGUOUS;

/** Hypotheses refined, where refining could still make them the best; best first. */
export function rankLayouts(job: Job, hypotheses: readonly Hypothesis[], lineup: Lineup, rank: Ranking): Ranked[] {
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

/** A way to see the layout, its marks refined. */
export interface Ranked {
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
export type Ranking = (hypothesis: Hypothesis, lineup: Lineup) => Ranked;

/** Ranks for one picture and job. What the refined marks say of the same patches is remembered: several attempts come to the same hypotheses. */
export function ranking(picture: Picture, sampler: Sampler, job: Job): Ranking {
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
export function settled(rivals: readonly Ranked[]): Ranked | undefined {
  if (rivals.length === 1) return rivals[0];
  const legible = rivals.filter((r) => r.code() !== null);
  return legible.length === 1 ? legible[0] : legible.find((r) => r.code()?.upright);
}
