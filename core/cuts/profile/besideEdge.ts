import { integral } from "../../image/normal.ts";
import { band, bandMoved } from "./blurred.ts";
import { shareOf, type Located } from "../locate.ts";
import { ALIKE, columnFit, groundsBeside, LEAST_SCATTER, reachOf, samplesBetween } from "./profileFit.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** A slit across a chunk, be there an edge of the print beside it or not. */
export interface Slit extends Pick<Located, "t" | "sigma" | "significance" | "amplitude"> {
  /** Amplitude over the ground's light. */
  readonly share: number;
  /** Standard uncertainty that such an edge's unknown place leaves to the slit's, mm, alike for all chunks along it, with the sign of the side that is lighter. Absent where there is none. */
  readonly beside?: number;
}

/** How wide a slit is seen: sigma of its profile, half of its own width and sigma of the picture's blur, mm. */
export interface SlitWidth {
  readonly width: number;
  readonly half: number;
  readonly blur: number;
}

/** Trials of the edge's place to a width of the profile. */
const TRIALS = 3;
const PASSES = 3;
/** A print's edge is ragged and bleeds into the board (common practice, no source): what its model leaves is no less than this share of its height. */
const RAGGED = 0.02;
/** Ground unlike on a line's two sides by more than this share of its depth is no shade and no lip. */
const UNLIKE = 0.5;

/** A slit so significant beside an edge has its own place; one less significant than this is none that an edge alone would not show. */
const PLAIN = 4;
const ALONE = 1.5;

/**
 * What a symmetric line has found, where the print's edge runs beside it: located anew where the picture tells slit and edge apart; else where it was, with the doubt of what the edge may have done;
 * null where an edge alone is seen. `width`: sigma of the slit's profile; `half`: of its own width; `blur`: sigma of the picture's, mm.
 */
export function clearOfEdge(chunk: Chunk, grid: StripGrid, found: Slit, { width, half, blur }: SlitWidth): Slit | null {
  if (!hasEdge(chunk, grid, found.t, width, found.amplitude)) return found;
  const anew = besideEdge(chunk, grid, found.t, { width, half, blur });
  if (!anew || anew.significance < ALONE) return null;
  if (anew.significance > PLAIN) return anew;
  return { ...found, beside: Math.sign(anew.beside) * Math.hypot(anew.beside, anew.t - found.t) };
}

/** Whether the ground differs so much on the two sides of a line of the given amplitude at t that an edge must run there. */
function hasEdge(chunk: Pick<Chunk, "profile">, grid: StripGrid, t: number, width: number, amplitude: number): boolean {
  const [left, right] = groundsBeside(chunk, grid, t, width);
  return Math.abs(right - left) > UNLIKE * Math.abs(amplitude);
}

/**
 * Locates a slit beside which an edge of the print runs: bleed that ends there, or print that was to end at the cut and does not. A symmetric line would be drawn to the darker side. The edge
 * may be anywhere near and as high as it likes; the slit's place is its mean over the places of the edge by how well each explains what is seen (equal odds for all). Where the picture resolves
 * slit and edge one place remains; where it does not, the doubt says so. Null where an edge alone explains what is seen as well: on dark print a dark slit cannot be seen.
 *
 * @param start where the slit is expected or was found by a symmetric line, mm.
 * @param width sigma of the slit's profile, `half` of its own width, and sigma of the picture's blur, mm: that of the edge.
 */
function besideEdge(chunk: Pick<Chunk, "profile" | "own">, grid: StripGrid, start: number, { width, half, blur }: SlitWidth): Required<Slit> | null {
  const { own = 0 } = chunk;
  const reach = reachOf("line", width);
  const { t, value } = samplesBetween(chunk, grid, start - reach - width, start + reach + width, start);
  if (t.length < 9) return null;
  const trials = Math.ceil(((2 * reach) / width) * TRIALS);
  const edges = Array.from({ length: trials + 1 }, (_, k) => -reach + (2 * reach * k) / trials);
  const ground = [t.map(() => 1), t];
  const steps = edges.map((edge) => t.map((x) => integral((x - edge) / blur)));
  const slitAt = slitColumns(t, half, blur);
  const fits = edges.flatMap((edge, i) => slitAndEdge(value, ground, edge, steps[i], slitAt, width, blur, reach) ?? []);
  if (fits.length === 0) return null;
  const best = fits.reduce((a, b) => (b.squares < a.squares ? b : a));
  const scatter = (best.squares / Math.max(1, t.length - 6)) + (RAGGED * best.edge) ** 2 + LEAST_SCATTER;
  const weights = fits.map((f) => Math.exp(-(f.squares - best.squares) / (2 * scatter * ALIKE)));
  const whole = weights.reduce((a, b) => a + b, 0);
  const dark = fits.map((f, i) => ({ ...f, weight: f.depth * (f.ground - own) < 0 ? weights[i] / whole : 0 })).filter((f) => f.weight > 1e-6);
  const seen = dark.reduce((sum, f) => sum + f.weight, 0);
  if (seen < MOST) return null;
  const mean = (of: (f: (typeof dark)[number]) => number): number => dark.reduce((sum, f) => sum + f.weight * of(f), 0) / seen;
  const place = mean((f) => f.place);
  const amplitude = mean((f) => f.depth);
  const edgeAlone = Math.min(...steps.map((step) => columnFit(value, [...ground, step])?.squares ?? Infinity));
  return {
    t: start + place, sigma: Math.sqrt(scatter * mean((f) => f.variance)), beside: Math.sign(mean((f) => f.edge)) * Math.sqrt(Math.max(0, mean((f) => f.place ** 2) - place ** 2)), amplitude,
    share: shareOf({ amplitude, ground: Math.max(0, mean((f) => f.ground)) - own }), significance: Math.sqrt(Math.max(0, edgeAlone - best.squares) / (scatter * ALIKE)),
  };
}

/** Share of all that explains what is seen in which there must be a slit. */
const MOST = 0.8;

interface SlitAndEdge {
  readonly place: number;
  /** Variance of the place for a scatter of one, mm^2. */
  readonly variance: number;
  readonly depth: number;
  readonly edge: number;
  readonly ground: number;
  readonly squares: number;
}

/** A slit's shape in a given place, and its derivative by that, at each of some distances. */
type SlitColumns = (place: number) => readonly [slit: readonly number[], moved: readonly number[]];

/** Those of a slit of half the given width, all mm. Those in the middle, where every search begins, are made once. */
function slitColumns(t: readonly number[], half: number, blur: number): SlitColumns {
  const at = (place: number) => [t.map((x) => band(x - place, -half, half, blur)), t.map((x) => bandMoved(x - place, -half, half, blur))] as const;
  const middle = at(0);
  return (place) => (place === 0 ? middle : at(place));
}

/** The slit's place beside an edge in a given place, whose blurred `step` and whose `ground` are given as columns; null where the fit runs away. */
function slitAndEdge(value: readonly number[], ground: readonly (readonly number[])[], edge: number, step: readonly number[], slitAt: SlitColumns, width: number, blur: number, reach: number): SlitAndEdge | null {
  let place = 0;
  for (let pass = 1; ; pass++) {
    const [slit, moved] = slitAt(place);
    const fit = columnFit(value, [...ground, slit, step, moved]);
    if (!fit) return null;
    const [level, slope, depth, height, moving] = fit.x;
    const move = Math.max(-0.5 * width, Math.min(0.5 * width, moving / depth));
    if (pass === PASSES) {
      return { place: place + move, variance: fit.lastVariance / depth ** 2, depth, edge: height, ground: level + slope * place + height * integral((place - edge) / blur), squares: fit.squares };
    }
    place += move;
    if (!(Math.abs(place) < reach)) return null;
  }
}
