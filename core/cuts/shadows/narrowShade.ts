import { HUE_LEAVES } from "./hueEdges.ts";
import { meanColours } from "./meanColours.ts";
import { meanBetween } from "../profile/profileFit.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk } from "../trace.ts";

/** Where the piece's face ends for certain and what lies about it is the table alone, mm to either side of the edge found (common practice, no source), and how far the light is looked at. */
const CLEAR = 1.1;
const REACH = 1.6;
/** The table is lighter than the face by so much at least: else a shadow on it is darker than the face, and seen. */
const LIGHTER = 0.8;
/** How much of the table's light a shadow takes that is not seen as a band: share by width, mm (standard deviation; common practice, no source). */
const USUAL = 0.04;
/** What the light's own slope leaves to an edge's middle, mm (common practice, no source). */
const LEVEL = 0.005;

/** What a shadow draws an edge outwards by, mm, with its standard uncertainty. */
export interface ShadeBias {
  readonly shift: number;
  readonly sigma: number;
}

/**
 * What a shadow on the table, beside a face that is darker than the table, draws the edges of one direction outwards by, where blur hides it: where it is about as light as the face it passes for the face. In planes of
 * another colour it does not. With a share s of light taken over a width w, face over table r in a plane: the middle of that plane's edge (by area, which blur leaves as it is) lies s w / (1 - r) outside of the
 * face's end, and the planes' middles lie on a line over 1 / (1 - r) whose slope is s w. Lenses lay colours beside each other and a JPEG halves them, so that what the slope tells is weighed by that against a usual shadow.
 * Null in grey, on a table that is as dark, and in a mix that shows hues.
 */
export function narrowShade(edges: readonly TracedChunk[], away: number, grid: StripGrid): ShadeBias | null {
  const own = meanRatio(edges, away, grid);
  if (!edges.some(({ chunk }) => chunk.colours) || !(own > 0 && own < LIGHTER)) return null;
  const told = toldByColours(edges, away, grid);
  return { shift: (told.share * Math.max(0, told.taken)) / (1 - own), sigma: (USUAL * Math.sqrt(1 - told.share)) / (1 - own) };
}

/** What a shadow takes, share by width, mm, as the planes' middles have it, and how much of that is to be believed against a usual one. */
function toldByColours(edges: readonly TracedChunk[], away: number, grid: StripGrid): { readonly taken: number; readonly share: number } {
  const middles = meanColours(edges, away, Math.round(REACH / grid.step), grid)?.map((plane) => middleOf(plane, grid.step)) ?? [];
  if (middles.length === 0 || middles.some(({ ratio }) => !(ratio > 0 && ratio < LIGHTER))) return { taken: 0, share: 0 };
  const x = middles.map(({ ratio }) => 1 / (1 - ratio));
  const meanX = x.reduce((sum, v) => sum + v, 0) / x.length;
  const spread = x.reduce((sum, v) => sum + (v - meanX) ** 2, 0);
  const scale = edges.reduce((sum, { chunk }) => sum + chunk.scale, 0) / edges.length;
  const variance = (HUE_LEAVES / scale) ** 2 + LEVEL ** 2;
  const slope = x.reduce((sum, v, k) => sum + (v - meanX) * middles[k].at, 0) / spread;
  return { taken: spread > 0 ? slope : 0, share: (USUAL ** 2 * spread) / (USUAL ** 2 * spread + variance) };
}

/** Light of the face over that of the table in the plane in which the edges were found. */
function meanRatio(edges: readonly TracedChunk[], away: number, grid: StripGrid): number {
  const [face, table] = [-1, 1].map((side) => edges.reduce((sum, { chunk, t }) => sum + meanBetween(chunk, grid, t + side * away * CLEAR, t + side * away * REACH), 0));
  return face / table;
}

/** Face over table, and where the edge between them has its middle by area, mm outwards. */
function middleOf(plane: Float64Array, step: number): { readonly ratio: number; readonly at: number } {
  const half = plane.length >> 1;
  const clear = Math.round(CLEAR / step);
  const mean = (values: Float64Array): number => values.reduce((sum, v) => sum + v, 0) / values.length;
  const [face, table] = [mean(plane.subarray(0, half - clear + 1)), mean(plane.subarray(half + clear))];
  const between = plane.subarray(half - clear, half + clear + 1);
  const risen = between.reduce((sum, v, i) => sum + (i === 0 || i === between.length - 1 ? 0.5 : 1) * ((v - face) / (table - face)), 0);
  return { ratio: face / table, at: (clear - risen) * step };
}
