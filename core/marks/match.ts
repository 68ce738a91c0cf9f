import type { Mark } from "../job/schema.ts";
import type { Candidate, ScaleRange } from "./find.ts";
import { grow, pairsText, type Hypothesis, type Pair } from "./grow.ts";
import { layoutFrame, localScale, placeOf } from "./layoutFit.ts";
import { lineUp, type Lineup } from "./lineup.ts";
import { baseTriples, seedsOf, type Seed } from "./search.ts";

/** Distinct ways to see the layout in the picture, best first; empty where none was found. */
export interface MatchResult {
  readonly hypotheses: readonly Hypothesis[];
  readonly lineup: Lineup;
}

/** Log odds, and their lead over the next best, from which a hypothesis is beyond doubt and the search may end after the triple at hand. */
const BEYOND_DOUBT = 8;
/** Log odds of a hypothesis beside which placements that promise less than half of what the best one does need not be grown. */
const OVERWHELMING = 3 * BEYOND_DOUBT;
/** Log odds of a hypothesis that explains every mark, beside which the others need not be sought for long; and placements that promise less than the best by more than a mark says, this, not be grown. */
const CONFIDENT = 4;
const A_MARK_LESS = 6;
/** Whatever comes near a hypothesis that explains every mark explains nearly all, and so shows in one of so many triples. */
const SEARCHED_ENOUGH = 4;
const MOST_TRIPLES = 24;
const KEEP_SEEDS = 24;

/**
 * Which mark is which. Triples of marks are placed on triples of candidates, each placement grown to a full hypothesis
 * and weighed against chance (an a-contrario count: see grow.ts). Both hands are tried. Relabellings of the best
 * hypothesis under the layout's own near-symmetries are always weighed beside it, so that an ambiguous layout shows. Per kind of
 * mark the `most` candidates that look most like it are asked.
 */
export function matchLayout(
  marks: readonly Mark[], candidates: readonly Candidate[], scale: ScaleRange, picture: { width: number; height: number }, most: number,
): MatchResult {
  const lineup = lineUp(marks, candidates, scale, picture.width * picture.height, most);
  const frame = layoutFrame(marks, picture);
  let hypotheses: Hypothesis[] = [];
  let searched = 0;
  for (const triple of baseTriples(lineup, MOST_TRIPLES)) {
    const seeds = seedsOf(lineup, picture, triple, KEEP_SEEDS);
    for (const seed of seeds) {
      if (hypotheses.length > 0 && promisesLess(seed, seeds[0], hypotheses[0], marks)) break;
      // Seeds that the best hypothesis already contains would only be grown to it again.
      if (hypotheses.length > 0 && contains(hypotheses[0], seed.pairs)) continue;
      const hypothesis = grow(lineup, frame, picture, seed.pairs);
      if (hypothesis) hypotheses = admit(hypotheses, hypothesis, lineup);
    }
    if (beyondDoubt(hypotheses) || (++searched >= SEARCHED_ENOUGH && hypotheses.length > 0 && isWhole(hypotheses[0], marks))) break;
  }
  if (hypotheses.length > 0) {
    for (const told of relabellings(lineup, hypotheses[0])) {
      const rival = grow(lineup, frame, picture, apart(told, marks), [], told);
      if (rival) hypotheses = admit(hypotheses, rival, lineup);
    }
  }
  return { hypotheses, lineup };
}

/** Whether a placement promises so much less than the best one that it could not come near the best hypothesis. */
function promisesLess(seed: Seed, first: Seed, best: Hypothesis, marks: readonly Mark[]): boolean {
  return best.logOdds > OVERWHELMING ? seed.evidence < first.evidence / 2 : isWhole(best, marks) && seed.evidence < first.evidence - A_MARK_LESS;
}

function isWhole({ pairs, logOdds }: Hypothesis, marks: readonly Mark[]): boolean {
  return pairs.length === marks.length && logOdds > CONFIDENT;
}

function beyondDoubt([best, second]: readonly Hypothesis[]): boolean {
  return best !== undefined && best.logOdds > BEYOND_DOUBT && (second === undefined || best.logOdds - second.logOdds > BEYOND_DOUBT);
}

function contains(hypothesis: Hypothesis, pairs: readonly Pair[]): boolean {
  return pairs.every((p) => hypothesis.pairs.some((h) => h.mark === p.mark && h.candidate === p.candidate));
}

/** Adds a hypothesis to the ranked list unless a better one shows the same pose; keeps the best six. */
function admit(list: readonly Hypothesis[], one: Hypothesis, lineup: Lineup): Hypothesis[] {
  if (one.pairs.length < 3) return [...list];
  const others: Hypothesis[] = [];
  for (const other of list) {
    if (!samePose(one, other, lineup)) others.push(other);
    else if (other.logOdds >= one.logOdds) return [...list];
  }
  return [...others, one].sort((a, b) => b.logOdds - a.logOdds).slice(0, 6);
}

/** Two hypotheses show one pose when they put every mark at (nearly) one place: within a third of the marks' spacing scale, 15 mm. */
function samePose(a: Hypothesis, b: Hypothesis, { marks }: Lineup): boolean {
  let left = marks.length / 3;
  for (const mark of marks) {
    const [p, q] = [placeOf(a.fit, mark), placeOf(b.fit, mark)];
    const [m0, m1, m2, m3] = localScale(a.fit, mark);
    if ((p.x - q.x) ** 2 + (p.y - q.y) ** 2 > 15 ** 2 * Math.abs(m0 * m3 - m1 * m2) && --left < 0) return false;
  }
  return true;
}

/**
 * Other ways to label the marks of a hypothesis: for each similarity that carries marks of the layout onto marks of the
 * same kind, the found candidates under their new names.
 */
function relabellings(lineup: Lineup, best: Hypothesis): Pair[][] {
  const { marks } = lineup;
  const kind = marks.map(({ id: _id, x: _x, y: _y, ...rest }) => JSON.stringify(rest));
  const span = Math.hypot(Math.max(...marks.map((m) => m.x)) - Math.min(...marks.map((m) => m.x)), Math.max(...marks.map((m) => m.y)) - Math.min(...marks.map((m) => m.y)));
  const near = Math.max(2, 0.02 * span);
  const found = new Map<string, Pair[]>();
  const [first, second] = farthest(best.pairs.map((p) => p.mark), marks);
  if (second === undefined) return [];
  const a = marks[first];
  const b = marks[second];
  for (let i = 0; i < marks.length; i++) {
    for (let j = 0; j < marks.length; j++) {
      if (i === j || kind[i] !== kind[first] || kind[j] !== kind[second]) continue;
      const ratio = Math.hypot(marks[i].x - marks[j].x, marks[i].y - marks[j].y) / Math.hypot(a.x - b.x, a.y - b.y);
      if (Math.abs(ratio - 1) > 0.06) continue;
      for (const hand of [1, -1]) {
        const map = similarity(a, b, marks[i], marks[j], hand);
        const pairs: Pair[] = [];
        for (const pair of best.pairs) {
          const p = map(marks[pair.mark].x, marks[pair.mark].y);
          const to = marks.findIndex((m, n) => kind[n] === kind[pair.mark] && Math.hypot(m.x - p.x, m.y - p.y) < near);
          if (to >= 0 && !pairs.some((q) => q.mark === to)) pairs.push({ mark: to, candidate: pair.candidate });
        }
        if (pairs.length < 3 || pairs.every((p) => best.pairs.some((q) => q.mark === p.mark && q.candidate === p.candidate))) continue;
        found.set(pairsText(pairs), pairs);
      }
    }
  }
  return [...found.values()].sort((p, q) => q.length - p.length).slice(0, 8);
}

/** Three of the pairs, far from each other: what is grown from them weighs all others as the first was weighed. */
function apart(pairs: readonly Pair[], marks: readonly Mark[]): Pair[] {
  const [first, second] = farthest(pairs.map((p) => p.mark), marks);
  const [a, b] = [marks[first], marks[second ?? first]];
  const area = ({ mark }: Pair): number => Math.abs((b.x - a.x) * (marks[mark].y - a.y) - (b.y - a.y) * (marks[mark].x - a.x));
  const third = pairs.reduce((best, pair) => (area(pair) > area(best) ? pair : best));
  return pairs.filter((p) => p.mark === first || p.mark === second || p.mark === third.mark);
}

function farthest(indices: readonly number[], marks: readonly Mark[]): [number, number | undefined] {
  let best: [number, number | undefined] = [indices[0], undefined];
  let most = 0;
  for (const i of indices) {
    for (const j of indices) {
      const d = Math.hypot(marks[i].x - marks[j].x, marks[i].y - marks[j].y);
      if (d > most) {
        most = d;
        best = [i, j];
      }
    }
  }
  return best;
}

/** The similarity (hand 1) or mirrored similarity (hand -1) that carries a to c and b to d. */
function similarity(a: Place, b: Place, c: Place, d: Place, hand: number): (x: number, y: number) => Place {
  const ux = b.x - a.x;
  const uy = hand * (b.y - a.y);
  const n = ux * ux + uy * uy;
  const re = ((d.x - c.x) * ux + (d.y - c.y) * uy) / n;
  const im = ((d.y - c.y) * ux - (d.x - c.x) * uy) / n;
  return (x, y) => {
    const px = x - a.x;
    const py = hand * (y - a.y);
    return { x: c.x + re * px - im * py, y: c.y + im * px + re * py };
  };
}

interface Place {
  readonly x: number;
  readonly y: number;
}
