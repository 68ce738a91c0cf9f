import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { factor } from "../../geometry/normalEquations.ts";
import type { Picture } from "../../image/picture.ts";
import { primaries, samplerOf, type PlaneWeights, type Sampler } from "../../image/sampler.ts";
import type { Station } from "../../job/walk.ts";
import { CLIPPED } from "./brightPlane.ts";

/** How far from the path piece and background are looked at, mm: clear of the edge, the wall and the cut's own error. */
const AWAY = [1.5, 2.2, 3];

/** The mixes of colour planes in which an outline is looked at. */
export interface OutlineMixes {
  /** That in which one piece of it is sought; null for the neutral one. */
  sought(stations: readonly Station[]): PlaneWeights | null;
  /** Where a shadow may show in those: the mix in which none does, in which chunks are told apart only together; null where there is none. */
  readonly hue: PlaneWeights | null;
}

/**
 * The mixes of colour planes in which piece and background differ most for their own spread: printed artwork may be as light as the table in grey all
 * along an outline and yet differ from it in colour. Where the piece is plainly told from the table by colour alone, the mix is one in which the piece's own shadow on the table does not show (see
 * `withoutShadow`): of the whole outline where it can be, else of each piece of it for itself, as artwork goes from one colour to the next.
 * Neutral where the picture is grey or too little is seen.
 */
export function outlineMixes(picture: Picture, stations: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null): OutlineMixes {
  const neutral: OutlineMixes = { sought: () => null, hue: null };
  if (picture.channels === 1) return neutral;
  const planes = primaries.map((plane) => samplerOf(picture, plane));
  const beside = (some: readonly Station[]): Sides | null => sidesOf(planes, some, toPicture);
  const sides = beside(stations);
  if (!sides) return neutral;
  const shadowless = withoutShadow(sides);
  if (shadowless && isPlain(shadowless, sides)) return { sought: () => shadowless.mix, hue: null };
  const hue = shadowless && shadowless.apart > TOLD && shadowless.contrast > LEAST_TOLD && mayPassForShadow(sides) ? shadowless.mix : null;
  return { sought: (piece) => mixOf(beside(piece) ?? sides), hue };
}

/** The mix for what is seen beside an outline, or a piece of it. */
function mixOf(sides: Sides): PlaneWeights | null {
  const shadowless = withoutShadow(sides);
  return shadowless && isPlain(shadowless, sides) ? shadowless.mix : apartInEach(sides);
}

/** Fisher's discriminant with independent planes: w = (mean in - mean out)/(var in + var out). */
function apartInEach({ inside, outside }: Sides): PlaneWeights | null {
  return normalised(primaries.map((_, k) => (inside.mean[k] - outside.mean[k]) / (inside.covariance[4 * k] + outside.covariance[4 * k] + LEAST_SPREAD)));
}

/** Whether the table in a shadow may be as light as the piece: no shadow is lighter than the table, or takes more than nearly all of its light (common practice, no source). */
function mayPassForShadow({ inside, outside }: Sides): boolean {
  const share = sumOf(inside.mean) / sumOf(outside.mean);
  return share > DEEPEST && share < 1;
}
const DEEPEST = 0.15;

function sumOf(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0);
}

/** Mean and covariance (row-major) of red, green and blue on one side of an outline, linear light. */
interface Colours {
  readonly mean: readonly number[];
  readonly covariance: readonly number[];
}
/** What is seen on both sides of an outline. */
interface Sides {
  readonly inside: Colours;
  readonly outside: Colours;
}
/** Variance that light has at least. */
const LEAST_SPREAD = 1e-6;
/** Light from here on is taken to be cut off. In an overexposed plane edges lie to the darker side: of its light nothing is known (variance). */
const CUT_OFF = 0.965;
const UNKNOWN = 1e3;
/** Fewer places tell no spread. */
const FEWEST = 20;

/** Whether a mix, whose weights' sizes sum to one, shows differences of planes more than their light. */
export function isHue(mix: PlaneWeights): boolean {
  return Math.abs(sumOf(mix)) < 0.5;
}

/** The colours on both sides of stations; null where too few are seen. */
function sidesOf(planes: readonly Sampler[], stations: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null): Sides | null {
  const [inside, outside] = ([-1, 1] as const).map((side) => coloursBeside(planes, stations, toPicture, side));
  return inside && outside ? { inside, outside } : null;
}

function coloursBeside(planes: readonly Sampler[], stations: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null, side: -1 | 1): Colours | null {
  const stride = Math.max(1, Math.floor(stations.length / 300));
  const value = new Float32Array(1);
  const seen: number[][] = [];
  for (let i = 0; i < stations.length; i += stride) {
    for (const d of AWAY) {
      const q = toPicture({ x: stations[i].x + side * d * stations[i].nx, y: stations[i].y + side * d * stations[i].ny });
      if (!q) continue;
      const colour = planes.map((plane) => {
        plane.line(q.x, q.y, 0, 0, 1, value, 0);
        return value[0];
      });
      if (!Number.isNaN(colour[0])) seen.push(colour);
    }
  }
  if (seen.length < FEWEST) return null;
  const mean = primaries.map((_, k) => seen.reduce((sum, c) => sum + c[k], 0) / seen.length);
  const covariance = mean.flatMap((a, j) => mean.map((b, k) => seen.reduce((sum, c) => sum + (c[j] - a) * (c[k] - b), 0) / seen.length));
  for (let k = 0; k < mean.length; k++) if (seen.filter((c) => c[k] > CUT_OFF).length > CLIPPED * seen.length) covariance[4 * k] += UNKNOWN;
  return { mean, covariance };
}

/** A shadow on the table takes so much of its light (standard deviation; common practice, no source). */
const SHADOW = 0.3;
/** Piece and table must differ by so many standard deviations of theirs, and by so much linear light, in a mix that no shadow shows in: fainter edges are found worse there than the shadow draws them aside. */
const PLAINLY = 6;
const LEAST_CONTRAST = 0.1;
/** And by so much of what they differ by in grey: a JPEG's halved colours show an edge broader and draw it aside, the more the plainer it is in grey. */
const OF_GREY = 1 / 3;
/** The same where many chunks are looked at together (see hueEdges.ts). */
const TOLD = 2;
const LEAST_TOLD = 0.03;

/** A piece so many times as light as the table has no edge that its shadow's end could pass for: from the piece it gets darker, from the shadow lighter (common practice, no source). */
const LIGHTER = 1.3;

/** Whether an edge is found better in a mix that no shadow shows in than in another. */
function isPlain({ apart, contrast }: Shadowless, { inside, outside }: Sides): boolean {
  const [piece, table] = [sumOf(inside.mean) / 3, sumOf(outside.mean) / 3];
  return piece < LIGHTER * table && apart > PLAINLY && contrast > Math.max(LEAST_CONTRAST, OF_GREY * Math.abs(piece - table));
}

interface Shadowless {
  readonly mix: PlaneWeights;
  /** By how many standard deviations of theirs, and how much linear light, piece and table differ in it. */
  readonly apart: number;
  readonly contrast: number;
}

/**
 * In hard light a piece throws a shadow on the table beside it, which hides the piece's own edge and has a sharper one of its own. A shadow is the table's colour, only darker: it counts as spread
 * of what is outside along that colour, and Fisher's discriminant w = S^-1 (mean in - mean out) turns away from it. Null where colour tells nothing.
 */
function withoutShadow({ inside, outside }: Sides): Shadowless | null {
  const apart = inside.mean.map((v, k) => v - outside.mean[k]);
  const spread = Float64Array.from(inside.covariance, (v, i) => {
    const [j, k] = [Math.floor(i / 3), i % 3];
    return v + outside.covariance[i] + SHADOW ** 2 * outside.mean[j] * outside.mean[k] + (j === k ? LEAST_SPREAD : 0);
  });
  const solved = factor(spread, 3);
  if ("undetermined" in solved) return null;
  const weights = [...solved.solve(Float64Array.from(apart))];
  const along = (w: readonly number[]): number => w.reduce((sum, v, k) => sum + v * apart[k], 0);
  const mix = normalised(weights);
  return mix && { mix, apart: Math.sqrt(Math.max(0, along(weights))), contrast: along(mix) };
}

/** Weights whose sizes sum to one; null where all are 0. */
function normalised(weights: readonly number[]): PlaneWeights | null {
  const total = weights.reduce((s, w) => s + Math.abs(w), 0);
  return total > 0 ? (weights.map((w) => w / total) as unknown as PlaneWeights) : null;
}
