import type { PrintPoint } from "../geometry/frames.ts";
import { fitLayout, localScale, placeOf, predictPoint, type LayoutFit, type LayoutFrame, type Sighting } from "./layoutFit.ts";
import type { Lineup } from "./lineup.ts";

/** One mark paired with one candidate. */
export interface Pair {
  readonly mark: number;
  readonly candidate: number;
}

/** The same text for the same pairs, in whatever order. */
export function pairsText(pairs: readonly Pair[]): string {
  return pairs.map(({ mark, candidate }) => `${mark}:${candidate}`).sort().join();
}

/** A way to see the layout in the picture, with the evidence for it. */
export interface Hypothesis {
  readonly fit: LayoutFit;
  readonly pairs: readonly Pair[];
  /**
   * Natural logarithm of how much better this explains what was found than chance does: for every mark beyond the first
   * three, minus the log of the chance that some look-alike lies in the predicted place; less what misses and misfits cost.
   */
  readonly logOdds: number;
}

/** Prior chance that a mark which should be in the picture is hidden or was not found. */
const HIDDEN = 0.2;
/** Relative scatter of the size of a candidate's area, as a length. */
const SIZE_SCATTER = 0.12;
/** A candidate's own place, plus what the rough view cannot bend to (px per px of half diagonal). */
const BEND = 4e-4;
const GATE = 3.5;

/**
 * Grows a hypothesis from three (or more) pairs: predict the mark with the surest place, take the nearest fitting candidate in the gate
 * that the prediction's own uncertainty gives, fit again. Null where the pairs do not determine a view. `anchors` are other points seen, such as the
 * corners of a code, from which alone a hypothesis may be grown; `told`: pairs of which those marks that they name may be of no other.
 */
export function grow(lineup: Lineup, frame: LayoutFrame, size: { width: number; height: number }, seeds: readonly Pair[], anchors: readonly Sighting[] = [], told: readonly Pair[] = []): Hypothesis | null {
  let pairs = [...seeds];
  let fit = refit(lineup, frame, pairs, anchors);
  if (!fit) return null;
  let evidence = 0;
  const tried = new Set<number>();
  for (;;) {
    const next = surestMark(lineup, fit, pairs, tried);
    if (next < 0) break;
    tried.add(next);
    const found = nearest(lineup, frame, fit, next, pairs, told);
    if (!found) continue;
    const grown = refit(lineup, frame, [...pairs, found.pair], anchors, fit.parameters);
    if (!grown) continue;
    pairs.push(found.pair);
    fit = grown;
    evidence += found.evidence;
    // A better view may now see what was missed with a worse one.
    if (pairs.length < 7) tried.clear();
  }
  const pruned = prune(lineup, frame, pairs, fit, anchors);
  if (!pruned) return null;
  // What was thrown out no longer speaks for the hypothesis.
  const share = pairs.length > seeds.length ? (pruned.pairs.length - seeds.length) / (pairs.length - seeds.length) : 0;
  pairs = pruned.pairs;
  fit = pruned.fit;
  return { fit, pairs, logOdds: Math.max(share, 0) * evidence + looksOf(lineup, pairs) + cost(lineup, frame, size, fit, pairs) };
}

/** What the looks of all pairs say. Where look-alikes are as good as the marks, looks need not be asked: that this may be so costs no more than half the odds. */
function looksOf(lineup: Lineup, pairs: readonly Pair[]): number {
  return Math.log(0.5 + 0.5 * Math.exp(pairs.reduce((sum, p) => sum + lineup.looks(p.mark, p.candidate), 0)));
}

function sigmaOf(lineup: Lineup, frame: LayoutFrame, candidate: number): number {
  return Math.hypot(lineup.candidates[candidate].sigma, BEND * frame.picture.half);
}

function place(lineup: Lineup, mark: number): PrintPoint {
  return { x: lineup.marks[mark].x, y: lineup.marks[mark].y };
}

function refit(lineup: Lineup, frame: LayoutFrame, pairs: readonly Pair[], anchors: readonly Sighting[], start?: Float64Array): LayoutFit | null {
  const sightings: Sighting[] = pairs.map(({ mark, candidate }): Sighting => ({
    print: place(lineup, mark), picture: lineup.candidates[candidate], sigma: sigmaOf(lineup, frame, candidate),
    logScale: Math.log(lineup.scaleOf(mark, candidate)),
  }));
  return fitLayout(frame, [...anchors, ...sightings], start);
}

function surestMark(lineup: Lineup, fit: LayoutFit, pairs: readonly Pair[], tried: ReadonlySet<number>): number {
  let best = -1;
  let least = Infinity;
  for (let m = 0; m < lineup.marks.length; m++) {
    if (tried.has(m) || lineup.options[m].length === 0 || pairs.some((p) => p.mark === m)) continue;
    const q = predictPoint(fit, place(lineup, m));
    if (q.xx + q.yy < least) {
      least = q.xx + q.yy;
      best = m;
    }
  }
  return best;
}

function nearest(lineup: Lineup, frame: LayoutFrame, fit: LayoutFit, mark: number, pairs: readonly Pair[], told: readonly Pair[]): { pair: Pair; evidence: number } | null {
  const q = predictPoint(fit, place(lineup, mark));
  const [a, b, c, d] = localScale(fit, place(lineup, mark));
  const scale = Math.sqrt(Math.abs(a * d - b * c));
  const floor = (0.5 + BEND * frame.picture.half) ** 2 + 0.5;
  const radius = Math.min(GATE * Math.sqrt(q.xx + q.yy + floor), 0.3 * frame.picture.half);
  let best: Pair | null = null;
  let least = GATE * GATE;
  let area = Infinity;
  const only = told.find((p) => p.mark === mark);
  for (const candidate of lineup.near(mark, q.x, q.y, radius)) {
    if (pairs.some((p) => p.candidate === candidate) || (only && only.candidate !== candidate)) continue;
    if (Math.abs(Math.log(lineup.scaleOf(mark, candidate) / scale)) > 0.35) continue;
    const s2 = sigmaOf(lineup, frame, candidate) ** 2;
    const xx = q.xx + s2;
    const yy = q.yy + s2;
    const det = xx * yy - q.xy * q.xy;
    const dx = lineup.candidates[candidate].x - q.x;
    const dy = lineup.candidates[candidate].y - q.y;
    const distance = (yy * dx * dx - 2 * q.xy * dx * dy + xx * dy * dy) / det;
    if (distance < least) {
      least = distance;
      best = { mark, candidate };
      area = Math.PI * GATE * GATE * Math.sqrt(det);
    }
  }
  if (!best) return null;
  return { pair: best, evidence: Math.max(0, -Math.log(lineup.density(mark) * area)) };
}

/** Throws out the worst pair while it lies beyond what its place's uncertainty explains. */
function prune(lineup: Lineup, frame: LayoutFrame, all: readonly Pair[], start: LayoutFit, anchors: readonly Sighting[]): { pairs: Pair[]; fit: LayoutFit } | null {
  let pairs = [...all];
  let fit = start;
  for (;;) {
    let worst = -1;
    let most = 4.5;
    pairs.forEach(({ mark, candidate }, i) => {
      const q = placeOf(fit, place(lineup, mark));
      const c = lineup.candidates[candidate];
      const z = Math.hypot(c.x - q.x, c.y - q.y) / sigmaOf(lineup, frame, candidate);
      if (z > most) {
        most = z;
        worst = i;
      }
    });
    if (worst < 0) return { pairs, fit };
    if (pairs.length + anchors.length <= 3) return null;
    pairs = pairs.filter((_, i) => i !== worst);
    const again = refit(lineup, frame, pairs, anchors, fit.parameters);
    if (!again) return null;
    fit = again;
  }
}

/** What misses, misfits, odd sizes and an implausible pose take from the evidence (a negative number). */
function cost(lineup: Lineup, frame: LayoutFrame, size: { width: number; height: number }, fit: LayoutFit, pairs: readonly Pair[]): number {
  let total = 0;
  const ratios: number[] = [];
  for (let m = 0; m < lineup.marks.length; m++) {
    const q = placeOf(fit, place(lineup, m));
    const pair = pairs.find((p) => p.mark === m);
    if (!pair) {
      if (q.x > 0 && q.y > 0 && q.x < size.width && q.y < size.height) total += Math.log(HIDDEN);
      continue;
    }
    const c = lineup.candidates[pair.candidate];
    total -= 0.5 * ((c.x - q.x) ** 2 + (c.y - q.y) ** 2) / sigmaOf(lineup, frame, pair.candidate) ** 2;
    const [a, b, cc, d] = localScale(fit, place(lineup, m));
    ratios.push(Math.log(lineup.scaleOf(m, pair.candidate) / Math.sqrt(Math.abs(a * d - b * cc))));
  }
  const mean = ratios.reduce((s, r) => s + r, 0) / ratios.length;
  for (const r of ratios) total -= Math.min(3, 0.5 * ((r - mean) / SIZE_SCATTER) ** 2);
  const [a, b, c, d] = localScale(fit, { x: frame.print.x, y: frame.print.y });
  const frobenius = a * a + b * b + c * c + d * d;
  const foreshortening = Math.acosh(Math.max(1, frobenius / (2 * Math.abs(a * d - b * c))));
  const p = fit.parameters;
  return total - 0.5 * (foreshortening / 0.15) ** 2 - 0.5 * ((p[6] ** 2 + p[7] ** 2) / 0.2 ** 2 + (p[8] / 0.1) ** 2);
}
