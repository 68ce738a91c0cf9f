import type { PicturePoint } from "../../geometry/frames.ts";
import type { Picture } from "../../image/picture.ts";
import { samplerOf, type PlaneWeights, type Sampler } from "../../image/sampler.ts";
import type { Job, Mark } from "../../job/schema.ts";
import type { Hypothesis } from "../../marks/grow.ts";
import type { Lineup } from "../../marks/lineup.ts";
import type { PlaneMap } from "../../marks/localMap.ts";
import { refineMark, type RefinedMark } from "../../marks/refine.ts";
import { reach } from "../../marks/shapes.ts";
import { medianOf } from "../../statistics/median.ts";

/** A mark of the job (by its index) with its refined centre. */
export interface SeenMark {
  readonly mark: number;
  readonly refined: RefinedMark;
}

/**
 * Refines all marks of the layout under a rough view: the matched ones from where they were found, the others from where the view
 * expects them (a mark whose ink hardly shows in grey may still be seen in colour).
 */
export function refineMarks(picture: Picture, sampler: Sampler, job: Job, hypothesis: Hypothesis, lineup: Lineup, map: PlaneMap): SeenMark[] {
  const seen: SeenMark[] = [];
  const pairOf = (i: number) => hypothesis.pairs.find((p) => p.mark === i);
  const order = job.marks.map((_, i) => i).sort((a, b) => Number(!pairOf(a)) - Number(!pairOf(b)));
  for (const [tried, i] of order.entries()) {
    if (tried === TRIED_IN_VAIN && seen.length === 0) break;
    const pair = pairOf(i);
    const start: PicturePoint | null = pair ? lineup.candidates[pair.candidate] : map.toPicture(job.marks[i]);
    const refined = start && refineInBestPlane(picture, sampler, job.marks[i], map, start);
    if (refined) seen.push({ mark: i, refined });
  }
  return withoutOthers(seen).sort((a, b) => a.mark - b.mark);
}

/** Ink grows or shrinks about alike in all marks of a print: one that differs by more than this from most, mm, and so many times as blurred, is a patch of another size that was bent into the mark's shape. */
const GROWN_UNLIKE = 0.15;
const BLURRED_UNLIKE = 2;
/** So many marks tell what is usual. */
const TELL = 4;

/** The marks without those that are patches of another size than theirs. */
export function withoutOthers<Seen extends { readonly refined: Pick<RefinedMark, "gain" | "blur"> }>(seen: readonly Seen[]): Seen[] {
  if (seen.length < TELL) return [...seen];
  const [gain, blur] = [medianOf(seen.map((s) => s.refined.gain)), medianOf(seen.map((s) => s.refined.blur))];
  return seen.filter(({ refined }) => Math.abs(refined.gain - gain) < GROWN_UNLIKE || refined.blur < BLURRED_UNLIKE * blur);
}

/** So many matched patches without one that has its mark's shape: the layout is not there, and its other marks need not be sought. */
const TRIED_IN_VAIN = 3;

/** A mark is refined again where the rough view put the image of its middle off the middle of its image by so much, px. */
const BENT_OTHERWISE = 0.004;

/**
 * Refines once more, under the view that all marks together give, those that a rough view has drawn off: a wrong perspective or lens there bends a mark's outline by
 * less than a pixel, and moves its middle by tenths of one. What can no longer be refined stays as it was.
 */
export function refineUnder(picture: Picture, sampler: Sampler, job: Job, seen: readonly SeenMark[], rough: PlaneMap, view: PlaneMap): readonly SeenMark[] {
  return seen.map((s) => {
    const mark = job.marks[s.mark];
    const [before, after] = [rough, view].map((map) => sagitta(map, s.refined.at, reach(mark)));
    if (!before || !after || Math.hypot(after.x - before.x, after.y - before.y) < BENT_OTHERWISE) return s;
    const refined = refineInBestPlane(picture, sampler, mark, view, s.refined.at);
    return refined ? { mark: s.mark, refined } : s;
  });
}

/** How far the mean of a circle's image lies from the image of its middle, px: what perspective and lens do to it. */
function sagitta(map: PlaneMap, at: PicturePoint, radius: number): PicturePoint | null {
  const middle = map.toPrint(at);
  if (!middle) return null;
  const rim = [[1, 0], [0, 1], [-1, 0], [0, -1]].map(([x, y]) => map.toPicture({ x: middle.x + radius * x, y: middle.y + radius * y }));
  if (rim.some((q) => q === null)) return null;
  return { x: rim.reduce((sum, q) => sum + (q?.x ?? 0), 0) / 4 - at.x, y: rim.reduce((sum, q) => sum + (q?.y ?? 0), 0) / 4 - at.y };
}

/** Refines in neutral light, or, in a colour picture whose mark is of a coloured ink, in the plane in which ink and board differ most. */
function refineInBestPlane(picture: Picture, sampler: Sampler, mark: Mark, map: PlaneMap, start: PicturePoint): RefinedMark | null {
  const weights = picture.channels === 3 ? inkWeights(picture, mark, map, start) : null;
  const plane = weights ? samplerOf(picture, weights) : sampler;
  const refined = refineMark(plane, mark, map, start);
  if (refined.ok) return refined;
  const again = weights ? refineMark(sampler, mark, map, start) : refined;
  return again.ok ? again : null;
}

/**
 * Weights of the colour planes proportional to how much ink and board differ in them (the best for equal noise in all planes);
 * null where the ink is neutral enough for plain grey.
 */
function inkWeights(picture: Picture, mark: Mark, map: PlaneMap, start: PicturePoint): PlaneWeights | null {
  const print = map.toPrint(start);
  if (!print) return null;
  const centre = mark.shape === "ring" ? (mark.outer + mark.inner) / 4 : mark.shape === "checker" ? mark.diameter * 0.17 : 0;
  const outside = reach(mark) + 0.8;
  const diagonal = Math.SQRT1_2;
  const ink = meanColour(picture, map, [[diagonal * centre, diagonal * centre], [-diagonal * centre, -diagonal * centre]].map(([x, y]) => ({ x: print.x + x, y: print.y + y })));
  const board = meanColour(picture, map, [0, 1, 2, 3, 4, 5, 6, 7].map((k) => {
    const angle = (k * Math.PI) / 4;
    return { x: print.x + outside * Math.cos(angle), y: print.y + outside * Math.sin(angle) };
  }));
  if (!ink || !board) return null;
  const difference = ink.map((v, i) => v - board[i]);
  const sizes = difference.map(Math.abs);
  const most = Math.max(...sizes);
  if (most < 0.01 || Math.min(...sizes) > 0.6 * most) return null;
  const total = sizes.reduce((s, v) => s + v, 0);
  const sign = Math.sign(difference[sizes.indexOf(most)]);
  return [0, 1, 2].map((i) => (difference[i] * sign) / total) as [number, number, number];
}

const primaries: readonly PlaneWeights[] = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

function meanColour(picture: Picture, map: PlaneMap, points: readonly { x: number; y: number }[]): number[] | null {
  const value = new Float32Array(1);
  return primaries.map((plane) => {
    const sampler = samplerOf(picture, plane);
    let sum = 0;
    let n = 0;
    for (const p of points) {
      const q = map.toPicture(p);
      if (!q) continue;
      sampler.line(q.x, q.y, 0, 0, 1, value, 0);
      if (Number.isNaN(value[0])) continue;
      sum += value[0];
      n++;
    }
    return n > 0 ? sum / n : NaN;
  }).reduce<number[] | null>((all, v) => (all === null || Number.isNaN(v) ? null : [...all, v]), []);
}

