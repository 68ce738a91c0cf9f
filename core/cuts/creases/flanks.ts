import { ALIKE, columnFit } from "../profile/profileFit.ts";
import { aboveEnds, poolRows, rowAbout } from "../profile/pool.ts";
import { medianOf } from "../../statistics/median.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";

/** How far about a crease its light is looked at, mm, and where its middle may lie beside the darkest place; steps of the search. */
const REACH = 2;
const FARTHEST = 0.6;
const STEP = 0.05;
const PLACES = Array.from({ length: 2 * Math.round(FARTHEST / STEP) + 1 }, (_, i) => (i - Math.round(FARTHEST / STEP)) * STEP);
/** Widths that are tried, as shares of that which a symmetric line was found to have. */
const WIDTHS = [0.6, 0.7, 0.8, 0.9, 1, 1.15];
/** Ground darker than this, linear light, is not divided by. */
const DARKEST = 0.03;
/** A crease lies so near to its darkest place, mm, and its flanks differ by so much of its depth, before they are seen (standard deviations; common practice, no source). */
const NEAR = 0.25;
const UNLIKE = 0.7;
/** No pressed valley has just the shape of the model: that leaves no less than this share of its depth. */
const SHAPE = 0.03;

/** A piece of a crease, where a symmetric line of sigma `width` was found in it, both mm. */
export interface CreaseChunk {
  readonly chunk: Chunk;
  readonly t: number;
  readonly width: number;
}

/**
 * A crease is a valley: its floor is in shade, one flank faces the light and the other one turns from it. The light across is - depth G + slope G', with a normal curve G for the valley, and its darkest place lies on the
 * dark flank. The chunks of all creases of one direction, which lie alike in the light, are laid on each other: the bright flank shows how far. Returns by how much they lie farther along their normals than a symmetric line
 * was found, mm: the mean over all places and widths by how well each explains what is seen; 0 where too few are seen.
 */
export function beyondDarkest(creases: readonly CreaseChunk[], grid: StripGrid): number {
  const half = Math.round(REACH / grid.step);
  const rows = creases.flatMap(({ chunk, t }) => {
    const row = rowAbout(chunk, t, grid, half);
    const ground = row ? 0.5 * (row[0] + row[2 * half]) : 0;
    return row && ground > DARKEST ? [aboveEnds(row).map((v) => v / ground)] : [];
  });
  const pooled = poolRows(rows);
  if (!pooled) return 0;
  const value = [...pooled.profile];
  const t = value.map((_, i) => (i - half) * grid.step);
  const ground = [t.map(() => 1), t];
  const width = medianOf(creases.map((c) => c.width));
  const fits = WIDTHS.flatMap((share) => PLACES.flatMap((at) => fitAbout(ground, value, at, share * width) ?? []));
  if (fits.length === 0) return 0;
  const best = fits.reduce((a, b) => (b.squares < a.squares ? b : a));
  const scatter = Math.max(pooled.noise ** 2, best.squares / (t.length - 6)) + (SHAPE * best.depth) ** 2;
  const weights = fits.map((f) => Math.exp(-0.5 * ((f.squares - best.squares) / (scatter * ALIKE) + (f.at / NEAR) ** 2 + (f.slope / f.depth / UNLIKE) ** 2)));
  const whole = weights.reduce((sum, w) => sum + w, 0);
  return fits.reduce((sum, f, k) => sum + weights[k] * f.at, 0) / whole;
}

interface Valley {
  readonly at: number;
  readonly depth: number;
  readonly slope: number;
  readonly squares: number;
}

/** A valley of a given sigma about a given place, on a ground whose columns are one and the distance, mm; null where there is none. */
function fitAbout(ground: readonly (readonly number[])[], value: readonly number[], at: number, sigma: number): Valley | null {
  const t = ground[1];
  const valley = t.map((x) => Math.exp(-0.5 * ((x - at) / sigma) ** 2));
  const fit = columnFit(value, [...ground, valley, valley.map((v, i) => (v * (t[i] - at)) / sigma)]);
  return fit && fit.x[2] < 0 ? { at, depth: -fit.x[2], slope: fit.x[3], squares: fit.squares } : null;
}
