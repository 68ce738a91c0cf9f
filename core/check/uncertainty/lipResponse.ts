import type { PrintPoint } from "../../geometry/frames.ts";
import { DIRECTIONS, directionOf } from "../../cuts/directions.ts";
import { cutRowAt, type Across } from "../fit/cutMap.ts";
import { equationsOf, isOverGap, type CutSighting } from "../fit/equations.ts";
import { parametersOf } from "../fit/joint.ts";
import type { Solution } from "../fit/solution.ts";

/** What lips do to the cut-to-print map (standard deviations): offset in mm, the larger of x and y; the others in mm/m. */
export interface LipResponse {
  readonly offset: number;
  /** The same in the middle of the cuts, which they tell best. */
  readonly middle: number;
  readonly rotation: number;
  readonly skew: number;
  readonly scaleX: number;
  readonly scaleY: number;
  /** What they would do, mm, to the map across a normal at a place of the sheet. */
  across(place: Across): number;
}

/** The shade at the foot of edges goes by what stands about: towards the ends of a side it is otherwise by this share of what it leaves (standard deviation; common practice, no source). */
const ALONG = 0.4;
/** Of two edges that face one way each has its own: so much of what it leaves is not alike, as a share (standard deviation; common practice, no source). Edges no further behind each other than this, mm, are one side. */
const EACH_SIDE = 0.5;
const ONE_SIDE = 10;

/**
 * How lips that draw whole directions of slits aside move the map. A least-squares fit is linear in its sightings: cuts of direction d that lie off by b all together move its terms by
 * C J'(b / sigma), C its covariance (JCGM 100:2008, 5.2). Lips go either by the light, alike all over the sheet (b = n . L), or by the blade, each direction for itself; one is as
 * likely as the other. What draws edges over a gap aside changes along a side, too, which turns and leans it.
 *
 * @param lipOf by how much lips may draw a cut aside, mm (standard deviation); one millimetre each where it is not given.
 */
export function lipResponse(solution: Solution, lipOf: (c: CutSighting) => number = () => 1): LipResponse {
  const { data, model, covariance, size, free, cut } = solution;
  const { biases, evaluate } = equationsOf(data, model);
  const [pulls, turns] = [0, 1].map(() => Array.from({ length: DIRECTIONS }, () => new Float64Array(size)));
  const ends = sidesOf(data.cuts);
  const sides = new Map<string, Float64Array>();
  const firstCut = 2 * data.marks.length;
  let row = 0;
  evaluate(parametersOf(solution, biases), (derivatives, _residual, weight) => {
    const c = data.cuts[row++ - firstCut];
    if (!c) return;
    const direction = directionOf(c);
    const byLip = (lipOf(c) * weight) / (c.sigma * data.cutScale);
    const isEdge = isOverGap(c);
    const towardsEnd = isEdge ? ALONG * ends[direction](c) : 0;
    const side = isEdge ? sideOf(sides, `${direction} ${Math.round((c.print.x * c.nx + c.print.y * c.ny) / ONE_SIDE)}`, size) : null;
    for (let i = 0; i < size; i++) {
      pulls[direction][i] += byLip * derivatives[i];
      turns[direction][i] += towardsEnd * byLip * derivatives[i];
      if (side) side[i] += EACH_SIDE * byLip * derivatives[i];
    }
  });
  const movesBy = (all: readonly Float64Array[]): number[][] => all.map((pull) => Array.from({ length: cut.length }, (_, i) => {
    const from = (free.length + i) * size;
    return pull.reduce((s, v, j) => s + covariance[from + j] * v, 0);
  }));
  const [moves, unlike] = [movesBy(pulls), movesBy([...turns, ...sides.values()])];
  const { half } = data.frame.print;
  const { datum } = data;
  const spread = (of: (terms: readonly number[]) => number): number => {
    const each = moves.map(of);
    const [x, y] = [Math.cos, Math.sin].map((f) => each.reduce((s, v, d) => s + v * f((2 * Math.PI * d) / DIRECTIONS), 0));
    return Math.sqrt(0.5 * (each.reduce((s, v) => s + v * v, 0) + x * x + y * y) + unlike.reduce((s, terms) => s + of(terms) ** 2, 0));
  };
  const perMetre = (of: (r: number, s: number, e: number, g: number) => number): number => spread(([, , r = 0, s = 0, e = 0, g = 0]) => (1000 * of(r, s, e, g)) / half);
  const across = (place: Across): number => {
    const coefficients = cutRowAt(place, datum, half, new Float64Array(cut.length));
    return spread((terms) => terms.reduce((sum, v, i) => sum + v * coefficients[i], 0));
  };
  const middle = meanPlace(data.cuts.map((c) => c.print));
  return {
    offset: Math.max(spread(([x]) => x), spread(([, y]) => y)), middle: Math.max(across({ ...middle, nx: 1, ny: 0 }), across({ ...middle, nx: 0, ny: 1 })), across,
    rotation: perMetre((r, _s, _e, g) => r + g), skew: perMetre((_r, _s, _e, g) => 2 * g),
    scaleX: perMetre((_r, s, e) => s + e), scaleY: perMetre((_r, s, e) => s - e),
  };
}

/** The sum of one side, made where there is none yet. */
function sideOf(sides: Map<string, Float64Array>, key: string, size: number): Float64Array {
  const side = sides.get(key) ?? new Float64Array(size);
  sides.set(key, side);
  return side;
}

/** The middle of places, each counted once. */
export function meanPlace(places: readonly PrintPoint[]): PrintPoint {
  const mean = (of: (p: PrintPoint) => number): number => places.reduce((sum, p) => sum + of(p), 0) / Math.max(1, places.length);
  return { x: mean((p) => p.x), y: mean((p) => p.y) };
}

/** For each direction how far along its side a cut lies: 0 in the middle of all that face it, 1 and -1 at the ends. */
function sidesOf(cuts: readonly CutSighting[]): ((c: CutSighting) => number)[] {
  const along = ({ print: { x, y }, nx, ny }: CutSighting): number => x * -ny + y * nx;
  return Array.from({ length: DIRECTIONS }, (_, direction) => {
    const places = cuts.filter((c) => directionOf(c) === direction).map(along);
    const [first, last] = [Math.min(...places), Math.max(...places)];
    return (c) => (last > first ? (2 * along(c) - first - last) / (last - first) : 0);
  });
}
