import { medianOf } from "../statistics/median.ts";
import { fitAt } from "./locate.ts";
import type { Expectation } from "./relocate.ts";
import type { Chunk, StripGrid } from "./strip.ts";
import type { TracedPath } from "./trace.ts";

/** How plainly the slits stand out from what lies beside them. */
export interface Presence {
  /** Mean darkness of the slits in their places over its standard error. */
  readonly strength: number;
  /** The same beside them, root mean square: what artwork alone makes of a line there. */
  readonly background: number;
}

/** Distances beside the slit that are asked, mm; further off where the profile is wider than that. */
const BESIDE = [1.2, 1.6, 2.1];
/** Profile widths from which a place is clear of the slit itself. */
const CLEAR = 2.5;
/** So many chunks say it as well as all of them. */
const ENOUGH = 500;
const FEWEST = 12;

/**
 * Asks every in-sheet cut for a line where it is expected, and for one beside it where none can be. Artwork is full of faint lines, and a search finds the best of
 * them: only what stands well above those is the cut. Null where there are too few slits to tell (lost slugs and stripped outlines are no lines).
 */
export function presenceOf(paths: readonly TracedPath[], grid: StripGrid, expected: Expectation): Presence | null {
  const places = paths.filter((p) => p.kind === "cut" && p.look === "line").flatMap((p) => p.chunks.map((c) => ({ c, path: p }))).filter(({ c }) => c.chunk.stations > 0);
  const stride = Math.max(1, Math.floor(places.length / ENOUGH));
  const some = places.filter((_, i) => i % stride === 0).flatMap(({ c, path }) => {
    const { width } = path;
    const at = expected(c.chunk, path);
    const slit = at === null ? null : fitAt(c.chunk, grid, "line", at - c.bias, width);
    if (at === null || !slit) return [];
    const t = at - c.bias;
    return [{ chunk: withoutLine(c.chunk, grid, t, width, slit.amplitude), width, t, darkness: slit.amplitude / Math.max(slit.ground, 0.01) }];
  });
  const darknessBeside = (beside: number): number | null => {
    const shares = some.flatMap(({ chunk, width, t }) => {
      const away = Math.sign(beside) * Math.max(Math.abs(beside), CLEAR * width);
      if (Math.abs(t + away) > grid.reach - 0.4) return [];
      const fit = fitAt(chunk, grid, "line", t + away, width);
      return fit ? [fit.amplitude / Math.max(fit.ground, 0.01)] : [];
    });
    return shares.length < FEWEST ? null : overStandardError(shares);
  };
  if (some.length < FEWEST) return null;
  const strength = overStandardError(some.map((s) => s.darkness));
  const beside = BESIDE.flatMap((d) => [darknessBeside(d), darknessBeside(-d)].filter((v) => v !== null));
  if (beside.length === 0) return null;
  return { strength: Math.abs(strength), background: Math.sqrt(beside.reduce((s, v) => s + v * v, 0) / beside.length) };
}

/** The chunk with the slit taken out of its profile: its own flanks are no lines of the artwork. */
function withoutLine(chunk: Chunk, grid: StripGrid, t: number, width: number, amplitude: number): Chunk {
  return { ...chunk, profile: chunk.profile.map((v, i) => v - amplitude * Math.exp(-0.5 * ((i * grid.step - grid.reach - t) / width) ** 2)) };
}

/** In a picture without noise the shares hardly scatter, and every trace of a line would count: so little as this, a share of the ground's light, tells nothing. */
const LEAST_SCATTER = 0.01;

/** The median over its standard error, robust: the median's is 1.2533 times the mean's for normal scatter, whose sigma is 1.4826 median deviations. */
function overStandardError(values: readonly number[]): number {
  const middle = medianOf(values);
  const deviation = 1.4826 * medianOf(values.map((v) => Math.abs(v - middle)));
  return middle / (1.2533 * Math.max(deviation, LEAST_SCATTER) / Math.sqrt(values.length));
}
