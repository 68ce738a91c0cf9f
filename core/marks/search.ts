import type { Lineup } from "./lineup.ts";
import type { Pair } from "./grow.ts";

/** Three pairs that give an affine view which is not absurd, with a quick count of what else it explains. */
export interface Seed {
  readonly pairs: readonly [Pair, Pair, Pair];
  readonly evidence: number;
}

/** Work allowed per triple of marks: pairs of candidates looked at, and affine views tried. */
const MOST_PAIRS = 100_000;
const MOST_VIEWS = 5_000;
/** An affine view is only a start: perspective and lens may put a mark off by this share of its distance. */
const SLACK = 0.12;
/** A mark that ought to be seen and is not, or that would lie out of the picture (who takes a picture takes the sheet), speaks against. */
const HIDDEN = -1;
const OUTSIDE = -2;
/** Smallest ratio of the two principal scales (a tilt of 30 deg, and a lens that draws the rim together). */
const FLATTEST = 0.68;

/** The triples of marks to try in turn: few candidates, long baselines, and each mark out of some of them (it may be hidden). */
export function baseTriples(lineup: Lineup, most: number): [number, number, number][] {
  const { marks, options } = lineup;
  const usable = marks.map((_, m) => m).filter((m) => options[m].length > 0);
  const triples: { marks: [number, number, number]; cost: number }[] = [];
  const span = Math.max(...usable.flatMap((i) => usable.map((j) => Math.hypot(marks[i].x - marks[j].x, marks[i].y - marks[j].y))), 1e-9);
  for (let a = 0; a < usable.length; a++) {
    for (let b = a + 1; b < usable.length; b++) {
      for (let c = b + 1; c < usable.length; c++) {
        const sorted = [usable[a], usable[b], usable[c]].sort((i, j) => options[i].length - options[j].length) as [number, number, number];
        const [i, j, k] = sorted.map((m) => marks[m]);
        const area = Math.abs((j.x - i.x) * (k.y - i.y) - (k.x - i.x) * (j.y - i.y)) / span ** 2;
        if (area < 0.02) continue;
        triples.push({ marks: sorted, cost: Math.log((options[sorted[0]].length * options[sorted[1]].length) / area) });
      }
    }
  }
  const used = new Float64Array(marks.length);
  const chosen: [number, number, number][] = [];
  while (chosen.length < most && triples.length > 0) {
    let best = 0;
    const charge = (t: (typeof triples)[number]): number => t.cost + 1.2 * t.marks.reduce((s, m) => s + used[m], 0);
    for (let t = 1; t < triples.length; t++) if (charge(triples[t]) < charge(triples[best])) best = t;
    const [taken] = triples.splice(best, 1);
    for (const m of taken.marks) used[m]++;
    chosen.push(taken.marks);
  }
  return chosen;
}

/** All plausible placements of one triple of marks, best first, at most `keep`. */
export function seedsOf(lineup: Lineup, picture: { width: number; height: number }, triple: readonly [number, number, number], keep: number): Seed[] {
  const { marks, candidates, options } = lineup;
  const [i, j, k] = triple;
  const e1 = { x: marks[j].x - marks[i].x, y: marks[j].y - marks[i].y };
  const e2 = { x: marks[k].x - marks[i].x, y: marks[k].y - marks[i].y };
  const det = e1.x * e2.y - e2.x * e1.y;
  const length = Math.hypot(e1.x, e1.y);
  const l2 = length * length;
  // The third mark in axes along the first two.
  const along = (e1.x * e2.x + e1.y * e2.y) / l2;
  const across = (e1.x * e2.y - e1.y * e2.x) / l2;
  const seeds: Seed[] = [];
  let pairsLeft = MOST_PAIRS;
  let viewsLeft = MOST_VIEWS;
  for (const a of options[i]) {
    const sa = lineup.scaleOf(i, a);
    for (const b of options[j]) {
      if (--pairsLeft < 0) return seeds;
      if (a === b) continue;
      const sb = lineup.scaleOf(j, b);
      if (sa > 1.5 * sb || sb > 1.5 * sa) continue;
      const dx = candidates[b].x - candidates[a].x;
      const dy = candidates[b].y - candidates[a].y;
      const d = Math.hypot(dx, dy);
      const stretch = d / length / Math.sqrt(sa * sb);
      if (stretch < 0.7 || stretch > 1.35) continue;
      for (const hand of [-1, 1]) {
        const x = candidates[a].x + along * dx - hand * across * dy;
        const y = candidates[a].y + along * dy + hand * across * dx;
        const radius = 0.35 * d * Math.hypot(along - (along > 0.5 ? 1 : 0), across);
        for (const c of lineup.near(k, x, y, radius)) {
          if (c === a || c === b) continue;
          const fx = candidates[c].x - candidates[a].x;
          const fy = candidates[c].y - candidates[a].y;
          const m = [(dx * e2.y - fx * e1.y) / det, (fx * e1.x - dx * e2.x) / det, (dy * e2.y - fy * e1.y) / det, (fy * e1.x - dy * e2.x) / det];
          const area = m[0] * m[3] - m[1] * m[2];
          if (area * hand < 0) continue;
          const frobenius = m[0] ** 2 + m[1] ** 2 + m[2] ** 2 + m[3] ** 2;
          if (frobenius > (FLATTEST + 1 / FLATTEST) * Math.abs(area)) continue;
          const scale = Math.sqrt(Math.abs(area));
          const sc = lineup.scaleOf(k, c);
          if (Math.abs(Math.log(scale / Math.cbrt(sa * sb * sc))) > 0.25) continue;
          if (--viewsLeft < 0) return seeds;
          const sizes = [sa, sb, sc].reduce((sum, v) => sum + Math.log(v / scale) ** 2, 0) / (2 * 0.15 ** 2);
          const evidence = quickEvidence(lineup, picture, triple, candidates[a], m, scale) - sizes;
          insert(seeds, { pairs: [{ mark: i, candidate: a }, { mark: j, candidate: b }, { mark: k, candidate: c }], evidence }, keep);
        }
      }
    }
  }
  return seeds;
}

/** Sums, over the other marks, minus the log of the chance that a look-alike lies as near to the affine prediction as the nearest one does. */
function quickEvidence(lineup: Lineup, picture: { width: number; height: number }, triple: readonly [number, number, number], origin: { x: number; y: number }, m: readonly number[], scale: number): number {
  const { marks, candidates } = lineup;
  const base = marks[triple[0]];
  let sum = 0;
  for (let n = 0; n < marks.length; n++) {
    if (triple.includes(n)) continue;
    const px = marks[n].x - base.x;
    const py = marks[n].y - base.y;
    const x = origin.x + m[0] * px + m[1] * py;
    const y = origin.y + m[2] * px + m[3] * py;
    if (x < -0.05 * picture.width || y < -0.05 * picture.height || x > 1.05 * picture.width || y > 1.05 * picture.height) {
      sum += OUTSIDE;
      continue;
    }
    const reach = Math.min(...triple.map((t) => Math.hypot(marks[t].x - marks[n].x, marks[t].y - marks[n].y)));
    const radius = 4 + SLACK * scale * reach;
    let nearest = Infinity;
    for (const c of lineup.near(n, x, y, radius)) {
      if (Math.abs(Math.log(lineup.scaleOf(n, c) / scale)) > 0.4) continue;
      nearest = Math.min(nearest, Math.hypot(candidates[c].x - x, candidates[c].y - y));
    }
    // Nearer than a quarter of the slack says nothing more: the view is only affine.
    const area = Math.PI * Math.max(nearest, 2 + 0.25 * radius) ** 2;
    sum += nearest < Infinity ? Math.max(0.05, -Math.log(Math.min(1, lineup.density(n) * area))) : HIDDEN;
  }
  return sum;
}

function insert(seeds: Seed[], seed: Seed, keep: number): void {
  if (seeds.length === keep && seeds[keep - 1].evidence >= seed.evidence) return;
  let at = seeds.length;
  while (at > 0 && seeds[at - 1].evidence < seed.evidence) at--;
  seeds.splice(at, 0, seed);
  if (seeds.length > keep) seeds.pop();
}
