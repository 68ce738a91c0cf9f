import { cutRowAt, type CutKind } from "../check/fit/cutMap.ts";
import { equationsOf, type MarkSighting } from "../check/fit/equations.ts";
import { countOf, shiftsAt } from "../check/view/nuisance.ts";
import type { ViewKind } from "../check/view/viewModel.ts";
import { factor } from "../geometry/normalEquations.ts";
import type { Covariance2, PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { Mark } from "../job/schema.ts";
import { jointData, type Prepared } from "./prepare.ts";
import { expectedMark } from "./sightings.ts";
import { flatCut } from "./subpaths.ts";

/**
 * The information (inverse covariance) of the joint fit, taken apart: what cuts and priors give, and what a mark at a place adds. Marks are then
 * weighed by updates of rank two instead of a fit each.
 */
export interface Information {
  readonly size: number;
  /** Cuts and priors alone, with a faint hold on the view so that it can be inverted before there are marks. */
  readonly base: Float64Array;
  /** The two whitened rows of a mark, row-major, in the view's free terms and the nuisances; null where it would not be seen. */
  rowsOf(place: PrintPoint, mark: Mark): Float64Array | null;
  /** Adds a mark's rows to a matrix of information. */
  add(matrix: Float64Array, rows: Float64Array): void;
  /** Covariance of all parameters; null where they are not determined. */
  invert(matrix: Float64Array): Float64Array | null;
  /** The largest variance of a stretch's deviation under a covariance, mm^2. */
  worst(covariance: Float64Array): number;
  /** The same with one more mark, whose rows are given, without inverting anew. */
  worstWith(covariance: Float64Array, rows: Float64Array): number;
}

/** Prior standard deviation of the view's own terms in normalised units: no picture is farther off, so that it weighs nothing once there are marks. */
const FAINT = 3;
/** Directions of the normal, over half a turn, in which stretches are looked at one by one. */
const DIRECTIONS = 12;

/** Takes the joint fit of a layout apart, with the terms of a model. Matrices are square, row-major, in the order of the fit's parameters. */
export function informationOf(p: Prepared, model: { readonly view: ViewKind; readonly cut: CutKind }): Information {
  const { free, size, cutCount, evaluate } = equationsOf(jointData(p, []), model);
  // Of a mark's row all but the view's terms and the nuisances, which come last, is nothing.
  const told = [...free.keys(), ...Array.from({ length: countOf(p.nuisances) }, (_, i) => size - countOf(p.nuisances) + i)];
  const width = told.length;
  const parameters = new Float64Array(size);
  free.forEach((term, i) => (parameters[i] = p.terms[term]));
  const base = new Float64Array(size * size);
  evaluate(parameters, (row, _residual, weight) => addOuter(base, size, row, weight));
  free.forEach((_, i) => (base[i * size + i] += 1 / FAINT ** 2));
  const covarianceAt = markCovariances(p);
  const n = free.length;

  const rowsOf = (place: PrintPoint, mark: Mark): Float64Array | null => {
    const seen = p.map.toPicture(place);
    const covariance = covarianceAt(mark, place);
    if (!seen || !covariance) return null;
    const sighting: MarkSighting = { mark: 0, print: place, seen, covariance, shifts: shiftsAt(p.nuisances, seen) };
    const rows: number[] = [];
    const one = equationsOf({ ...jointData(p, [sighting]), cuts: [], cutWeights: new Float64Array(0) }, model);
    one.evaluate(Float64Array.from(told, (i) => parameters[i]), (row) => {
      if (rows.length < 2 * width) rows.push(...row);
    });
    return Float64Array.from(rows);
  };

  const worstOf = worstStretch(checkRows(p, cutCount), cutCount);
  return {
    size, base, rowsOf,
    add: (matrix, rows) => {
      for (let k = 0; k < 2; k++) {
        const row = rows.subarray(k * width, (k + 1) * width);
        for (let i = 0; i < width; i++) for (let j = 0; j < width; j++) matrix[told[i] * size + told[j]] += row[i] * row[j];
      }
    },
    invert: (matrix) => {
      const solved = factor(matrix, size);
      return "undetermined" in solved ? null : solved.inverse();
    },
    worst: (c) => worstOf((i, j) => c[(n + i) * size + n + j]),
    worstWith: (c, rows) => {
      const at = withTwoRows(c, size, rows, told);
      return worstOf((i, j) => at(n + i, n + j));
    },
  };
}

/** The largest variance of any of the rows of stretches, under the covariance of the cut's terms; mm^2. */
function worstStretch(rows: readonly Float64Array[], count: number): (at: (i: number, j: number) => number) => number {
  const block = new Float64Array(count * count);
  return (at) => {
    for (let i = 0; i < count; i++) for (let j = 0; j < count; j++) block[i * count + j] = at(i, j);
    let most = 0;
    for (const row of rows) {
      let v = 0;
      for (let i = 0; i < count; i++) {
        let sum = 0;
        for (let j = 0; j < count; j++) sum += block[i * count + j] * row[j];
        v += row[i] * sum;
      }
      if (v > most) most = v;
    }
    return most;
  };
}

/**
 * The covariance C after two more whitened rows R, entry by entry: C - B S^-1 B' with B = C R', S = I + R C R' (Woodbury's identity).
 *
 * @param rows row-major, in the parameters named by `told`; nothing in the others.
 */
function withTwoRows(c: Float64Array, size: number, rows: Float64Array, told: readonly number[]): (i: number, j: number) => number {
  const width = told.length;
  const b = new Float64Array(2 * size);
  for (let k = 0; k < 2; k++) for (let i = 0; i < size; i++) {
    let sum = 0;
    for (let j = 0; j < width; j++) sum += c[i * size + told[j]] * rows[k * width + j];
    b[k * size + i] = sum;
  }
  const s = (k: number, l: number) => {
    let sum = k === l ? 1 : 0;
    for (let j = 0; j < width; j++) sum += rows[k * width + j] * b[l * size + told[j]];
    return sum;
  };
  const [s00, s01, s11] = [s(0, 0), s(0, 1), s(1, 1)];
  const det = s00 * s11 - s01 * s01;
  return (i, j) => {
    const [a0, a1, d0, d1] = [b[i], b[size + i], b[j], b[size + j]];
    return c[i * size + j] - (s11 * a0 * d0 - s01 * (a0 * d1 + a1 * d0) + s00 * a1 * d1) / det;
  };
}

function addOuter(matrix: Float64Array, size: number, row: Float64Array, weight: number): void {
  for (let i = 0; i < size; i++) {
    if (row[i] === 0) continue;
    for (let j = 0; j < size; j++) matrix[i * size + j] += weight * row[i] * row[j];
  }
}

/**
 * Rows of the stretches that can be known least. The variance along a fixed normal is convex in the place, so that only corners of the hull of all
 * stretches of nearly one normal matter; they are found by their farthest points in sixteen directions.
 */
function checkRows(p: Prepared, count: number): Float64Array[] {
  const { half } = p.frame.print;
  const datum = jointData(p, []).datum;
  const sectors: Array<Array<{ x: number; y: number; nx: number; ny: number }>> = Array.from({ length: DIRECTIONS }, () => []);
  for (const cut of p.job.cuts) {
    if (cut.kind !== "cut") continue;
    for (const { midpoint: m, normal: n } of flatCut(cut).stretches) {
      sectors[((Math.round((Math.atan2(n.y, n.x) / Math.PI) * DIRECTIONS) % DIRECTIONS) + DIRECTIONS) % DIRECTIONS].push({ x: m.x, y: m.y, nx: n.x, ny: n.y });
    }
  }
  return sectors.flatMap((all) => {
    const farthest = new Set(Array.from({ length: all.length > 0 ? 16 : 0 }, (_, k) => {
      const [c, s] = [Math.cos((k * Math.PI) / 8), Math.sin((k * Math.PI) / 8)];
      return all.reduce((a, b) => (c * b.x + s * b.y > c * a.x + s * a.y ? b : a));
    }));
    return [...farthest].map((place) => cutRowAt(place, datum, half, new Float64Array(count)));
  });
}

/** Marks of one kind differ by the scale of the picture only: their covariance is worked out in the sheet's middle, and goes with the px of their outline. */
function markCovariances(p: Prepared): (mark: Mark, place: PrintPoint) => Covariance2<"picture"> | null {
  const known = new Map<string, { covariance: Covariance2<"picture">; scale: number } | null>();
  const { width, height } = p.job.sheet;
  const scaleAt = ({ x, y }: PrintPoint): number | null => {
    const at = (dx: number, dy: number): PicturePoint | null => p.map.toPicture({ x: x + dx, y: y + dy });
    const [o, e, n] = [at(0, 0), at(1, 0), at(0, 1)];
    return o && e && n && Math.sqrt(Math.abs((e.x - o.x) * (n.y - o.y) - (e.y - o.y) * (n.x - o.x)));
  };
  return (mark, place) => {
    const key = JSON.stringify({ ...mark, id: "", x: 0, y: 0 });
    let centre = known.get(key);
    if (centre === undefined) {
      const middle = { x: width / 2, y: height / 2 };
      const sighting = expectedMark({ ...mark, ...middle }, 0, p.map, p.optics.light);
      centre = sighting && { covariance: sighting.covariance, scale: scaleAt(middle) ?? 1 };
      known.set(key, centre);
    }
    const scale = scaleAt(place);
    if (!centre || scale === null) return null;
    const { xx, xy, yy } = centre.covariance;
    const factorOf = centre.scale / scale;
    return { xx: xx * factorOf, xy: xy * factorOf, yy: yy * factorOf };
  };
}
