import type { Lineup } from "./lineup.ts";
import type { Pair } from "./grow.ts";

/** Three pairs that give an affine view which is not absurd, with a quick count of what else it explains. */
export interface Seed {
  readonly pairs: readonly [Pair, Pair, Pair];
  readonly evidence: number;
}

/** Work allowed per triple of marks: pairs of candidates looked at, and views tried. */
const MOST_PAIRS = 100_000;
const MOST_VIEWS = 5_000;
/** Three points and their sizes are only a start: what their scatter and the lens leave may put a mark off by this share of its distance. */
const SLACK = 0.12;
/** A mark that ought to be seen and is not, or that would lie out of the picture (who takes a picture takes the sheet), speaks against. */
const HIDDEN = -1;
const OUTSIDE = -2;
/** Smallest ratio of the two principal scales (a tilt of 30 deg, and a lens that draws the rim together). */
const FLATTEST = 0.6;
/** Largest ratio of the scales at two marks: a tilt of 25 deg from as near as a phone takes in the whole sheet gives 2. */
const NEARER = 2.4;
/** Standard deviation of the logarithm of the ratio of two scales, from perspective. */
const PERSPECTIVE = 0.35;
/** The scatter of sizes takes this share of what they say of the depth: half of 0.1^2 beside half of 0.35^2. */
const TRUST = PERSPECTIVE ** 2 / (PERSPECTIVE ** 2 + 2 * 0.1 ** 2);

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
  const search = { lineup, picture, base: baseOf(lineup, triple), keep, seeds: [] as Seed[], viewsLeft: MOST_VIEWS };
  let pairsLeft = MOST_PAIRS;
  for (const a of lineup.options[triple[0]]) {
    for (const b of lineup.options[triple[1]]) {
      if (--pairsLeft < 0 || search.viewsLeft < 0) return search.seeds;
      if (a !== b) placeThird(search, a, b);
    }
  }
  return search.seeds;
}

/** The triple of marks: the sides from the first to the others, and the third in axes along the first side. */
interface Base {
  readonly triple: readonly [number, number, number];
  readonly e1: Place;
  readonly e2: Place;
  readonly det: number;
  readonly length: number;
  readonly along: number;
  readonly across: number;
  readonly others: readonly Other[];
}

/** A mark that is none of the triple: its place by the triple's own, as shares that sum to one, and how far it is from the nearest of them, mm. */
interface Other {
  readonly mark: number;
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly reach: number;
}

function baseOf({ marks }: Lineup, triple: readonly [number, number, number]): Base {
  const [i, j, k] = triple.map((m) => marks[m]);
  const e1 = { x: j.x - i.x, y: j.y - i.y };
  const e2 = { x: k.x - i.x, y: k.y - i.y };
  const length = Math.hypot(e1.x, e1.y);
  const det = e1.x * e2.y - e2.x * e1.y;
  const others = marks.flatMap((m, mark): Other[] => {
    if (triple.includes(mark)) return [];
    const b = ((m.x - i.x) * e2.y - e2.x * (m.y - i.y)) / det;
    const c = (e1.x * (m.y - i.y) - (m.x - i.x) * e1.y) / det;
    return [{ mark, a: 1 - b - c, b, c, reach: Math.min(...[i, j, k].map((t) => Math.hypot(t.x - m.x, t.y - m.y))) }];
  });
  return { triple, e1, e2, det, length, along: (e1.x * e2.x + e1.y * e2.y) / length ** 2, across: det / length ** 2, others };
}

interface Search {
  readonly lineup: Lineup;
  readonly picture: { readonly width: number; readonly height: number };
  readonly base: Base;
  readonly keep: number;
  readonly seeds: Seed[];
  viewsLeft: number;
}

/** Weighs every candidate for the third mark beside candidates a and b for the first two. */
function placeThird(search: Search, a: number, b: number): void {
  const { lineup, base: { triple: [i, j, k], length, along, across } } = search;
  const { candidates } = lineup;
  const sa = lineup.scaleOf(i, a);
  const sb = lineup.scaleOf(j, b);
  if (sa > NEARER * sb || sb > NEARER * sa) return;
  const dx = candidates[b].x - candidates[a].x;
  const dy = candidates[b].y - candidates[a].y;
  const d = Math.sqrt(dx * dx + dy * dy);
  const stretch = d / length / Math.sqrt(sa * sb);
  if (stretch < 0.65 || stretch > 1.4) return;
  const radius = 0.45 * d * Math.hypot(along - (along > 0.5 ? 1 : 0), across);
  for (const hand of [-1, 1]) {
    const x = candidates[a].x + along * dx - hand * across * dy;
    const y = candidates[a].y + along * dy + hand * across * dx;
    for (const c of lineup.near(k, x, y, radius)) if (c !== a && c !== b) weigh(search, a, b, c, hand);
  }
}

/** Takes candidates a, b, c as the triple, seen by the given hand, where the affine view that they give is not absurd. */
function weigh(search: Search, a: number, b: number, c: number, hand: number): void {
  const { lineup, picture, base: { triple, e1, e2, det, others } } = search;
  const seen: Corners["seen"] = [lineup.candidates[a], lineup.candidates[b], lineup.candidates[c]];
  const scales: Corners["scales"] = [lineup.scaleOf(triple[0], a), lineup.scaleOf(triple[1], b), lineup.scaleOf(triple[2], c)];
  const area = affineArea(seen, e1, e2, det);
  if (!(area * hand > 0)) return;
  const [sa, sb, sc] = scales;
  if (sc > NEARER * Math.min(sa, sb) || Math.max(sa, sb) > NEARER * sc) return;
  // The affine map's scale is that between the three: their mean, but for perspective.
  if (Math.abs(Math.log(Math.sqrt(Math.abs(area)) / Math.cbrt(sa * sb * sc))) > 0.35) return;
  if (--search.viewsLeft < 0) return;
  const depths = Math.log(sa / sb) ** 2 + Math.log(sb / sc) ** 2 + Math.log(sc / sa) ** 2;
  const evidence = quickEvidence(lineup, picture, others, { seen, scales }) - depths / (3 * PERSPECTIVE ** 2)
    + lineup.looks(triple[0], a) + lineup.looks(triple[1], b) + lineup.looks(triple[2], c);
  insert(search.seeds, { pairs: [{ mark: triple[0], candidate: a }, { mark: triple[1], candidate: b }, { mark: triple[2], candidate: c }], evidence }, search.keep);
}

/** Determinant of the affine map that carries the triple to where it is seen; 0 where that would be seen flatter than any sheet is. */
function affineArea([a, b, c]: Corners["seen"], e1: Place, e2: Place, det: number): number {
  const [dx, dy, fx, fy] = [b.x - a.x, b.y - a.y, c.x - a.x, c.y - a.y];
  const m0 = (dx * e2.y - fx * e1.y) / det;
  const m1 = (fx * e1.x - dx * e2.x) / det;
  const m2 = (dy * e2.y - fy * e1.y) / det;
  const m3 = (fy * e1.x - dy * e2.x) / det;
  const area = m0 * m3 - m1 * m2;
  return m0 * m0 + m1 * m1 + m2 * m2 + m3 * m3 > (FLATTEST + 1 / FLATTEST) * Math.abs(area) ? 0 : area;
}

/** Where a triple's marks are seen, and the scales that their sizes speak for. */
interface Corners {
  readonly seen: readonly [Place, Place, Place];
  readonly scales: readonly [number, number, number];
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/**
 * Sums, over the other marks, minus the log of the chance that a look-alike lies as near to the predicted place as the nearest one does. The prediction is a
 * homography: three points with a weight each, the inverse of their depth (a patch's scale goes with the depth to the power -3/2), fix it.
 */
function quickEvidence(lineup: Lineup, picture: { width: number; height: number }, others: readonly Other[], { seen: [A, B, C], scales: [sa, sb, sc] }: Corners): number {
  const mean = Math.cbrt(sa * sb * sc);
  const power = (-2 / 3) * TRUST;
  const [da, db, dc] = [(sa / mean) ** power, (sb / mean) ** power, (sc / mean) ** power];
  let sum = 0;
  for (const { mark, a, b, c, reach } of others) {
    const w = a * da + b * db + c * dc;
    const x = (a * da * A.x + b * db * B.x + c * dc * C.x) / w;
    const y = (a * da * A.y + b * db * B.y + c * dc * C.y) / w;
    if (!(w > 0.2) || x < -0.05 * picture.width || y < -0.05 * picture.height || x > 1.05 * picture.width || y > 1.05 * picture.height) sum += OUTSIDE;
    else sum += evidenceAt(lineup, mark, x, y, mean * w ** -1.5, reach);
  }
  return sum;
}

/** What the candidate nearest to (x, y) says for a mark that is expected there at the given scale. */
function evidenceAt(lineup: Lineup, mark: number, x: number, y: number, scale: number, reach: number): number {
  const radius = 4 + SLACK * scale * reach;
  let nearest = Infinity;
  for (const c of lineup.near(mark, x, y, radius)) {
    if (Math.abs(Math.log(lineup.scaleOf(mark, c) / scale)) > 0.4) continue;
    const { x: cx, y: cy } = lineup.candidates[c];
    nearest = Math.min(nearest, Math.hypot(cx - x, cy - y));
  }
  // Nearer than a quarter of the slack says nothing more: the view is only rough.
  const area = Math.PI * Math.max(nearest, 2 + 0.25 * radius) ** 2;
  return nearest < Infinity ? Math.max(0.05, -Math.log(Math.min(1, lineup.density(mark) * area))) : HIDDEN;
}

function insert(seeds: Seed[], seed: Seed, keep: number): void {
  if (seeds.length === keep && seeds[keep - 1].evidence >= seed.evidence) return;
  let at = seeds.length;
  while (at > 0 && seeds[at - 1].evidence < seed.evidence) at--;
  seeds.splice(at, 0, seed);
  if (seeds.length > keep) seeds.pop();
}
