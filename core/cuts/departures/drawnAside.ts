import { integral } from "../../image/normal.ts";
import { ALIKE, columnFit, dot, LEAST_SCATTER, samplesBetween } from "../profile/profileFit.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** Beyond the slit's own profile, in its widths, so much is looked at to either side. */
const BESIDE = 2.6;
/** Places of what may lie beside the slit, to a width of the profile. */
const TRIALS = 2;

/** A slit is as broad as its path's others, or broader by so much where it lies farther from the focus or is seen askew: the lower then, for it takes as much light (common practice, no source). */
const BROADER = [1, 1.3, 1.6];

/**
 * How much likelier a slit that lies at `found` makes a chunk's light than one in its `expected` place with an edge or a line of the artwork beside it, whatever its height and place: logarithm of
 * the ratio, with as many free parameters on either side (ground, slope, height and place). `depth`: of the slit, linear light with its sign, as its path shows it elsewhere. Places, width and
 * blur in mm.
 */
export function oddsAway(chunk: Pick<Chunk, "profile">, grid: StripGrid, expected: number, found: number, depth: number, width: number, blur: number): number {
  const [from, to] = [Math.min(expected, found) - BESIDE * width, Math.max(expected, found) + BESIDE * width];
  const { t, value } = samplesBetween(chunk, grid, from, to);
  const ground = [t.map(() => 1), t.map((x) => x - 0.5 * (expected + found))];
  const slit = (place: number, broad: number): number[] => t.map((x) => Math.exp(-0.5 * ((x - place) / broad) ** 2));
  const edge = (place: number): number[] => t.map((x) => integral((x - place) / blur));
  const away = BROADER.map((times) => ({ broad: times * width, squares: leftOver(value, [...ground, slit(found, times * width)]) })).reduce((a, b) => (b.squares < a.squares ? b : a));
  const places = Math.ceil(((to - from) / width) * TRIALS);
  const inPlace = (broad: number): number => {
    const own = slit(expected, broad);
    const rest = value.map((v, i) => v - ((depth * width) / broad) * own[i]);
    let least = leftOver(rest, ground);
    for (let k = 0; k <= places; k++) {
      const at = from + ((to - from) * k) / places;
      least = Math.min(least, leftOver(rest, [...ground, edge(at)]), leftOver(rest, [...ground, slit(at, broad)]));
    }
    return least;
  };
  const alternative = Math.min(...[...new Set([width, away.broad])].map(inPlace));
  const floor = t.length * LEAST_SCATTER;
  return (t.length / ALIKE / 2) * Math.log((alternative + floor) / (away.squares + floor));
}

/** Sum of squares that the best combination of the columns leaves. */
function leftOver(value: readonly number[], columns: readonly (readonly number[])[]): number {
  return columnFit(value, columns)?.squares ?? dot(value, value);
}
