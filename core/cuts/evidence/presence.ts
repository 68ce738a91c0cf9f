import { isSlit } from "./evidence.ts";
import { medianOf } from "../../statistics/median.ts";
import { robustSigma } from "../../statistics/robustSigma.ts";
import { cutShare } from "./cutShare.ts";
import { fitAt, shareOf } from "../locate.ts";
import type { Expectation } from "../relocate.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedPath } from "../trace.ts";

/** How plainly the slits stand out from what lies beside them. */
export interface Presence {
  /** Mean darkness of the slits in their places over its standard error. */
  readonly strength: number;
  /** The same beside them, root mean square: what the artwork there does to a fitted line, be it a line itself or an edge. */
  readonly background: number;
  /** By how much the slits are darker than what is on both sides of them, over its standard error: no edge is. */
  readonly line: number;
  /** The same beside them, root mean square, where there is a line. */
  readonly linesBeside: number;
  /** The same as `line`, of what was found alone. */
  readonly lineFound: number;
}

/** The slits must stand out so many times above the lines that the artwork shows beside them, and from nothing at all in standard errors. */
const STANDS_OUT = 1.8;
const LEAST_STRENGTH = 6;

/** Whether the slits are told from the artwork beside them: by their depth, or, where an edge runs along them (the bleed's own), by being lines. */
export function standsOut({ strength, background, line, linesBeside }: Presence): boolean {
  return strength >= Math.max(STANDS_OUT * background, LEAST_STRENGTH) || line >= Math.max(STANDS_OUT * linesBeside, LEAST_STRENGTH);
}

/** What no chance reaches: jobs laid beside where their sheets are cut have shown a strength of up to 10 over half of their length, sheets that are not cut at all one of up to 8 (samples of our own). */
const STANDS_OUT_PLAINLY = 4;
const PLAIN_STRENGTH = 14;

/** Whether the slits are so plain that no search finds as much in artwork, and what was found are lines: beside an edge of dark print a line that is fitted to it is as deep as the edge is high. */
export function standsOutPlainly({ strength, background, lineFound }: Presence): boolean {
  return strength >= Math.max(STANDS_OUT_PLAINLY * background, PLAIN_STRENGTH) && lineFound >= LEAST_STRENGTH;
}

/** Whether they are as plain as lines: one by one they may scatter as much as noise and blur have them. */
export function arePlainLines({ line, linesBeside }: Presence): boolean {
  return line >= Math.max(STANDS_OUT_PLAINLY * linesBeside, PLAIN_STRENGTH);
}

/** Distances beside the slit that are asked, mm; further off where the profile is wider than that. */
const BESIDE = [1.2, 1.6, 2.1];
/** Profile widths from which a place is clear of the slit itself. */
const CLEAR = 2.5;
/** So many chunks say it as well as all of them. */
const ENOUGH = 500;
const FEWEST = 12;
/** Share of the cuts' length at the edges of gaps, from which these say whether it is the cuts that are seen: slits within a piece may be too faint for it. */
const MOSTLY_GAPS = 0.5;

/**
 * Asks every in-sheet cut for a line where it is expected, and for one beside it where none can be. Artwork is full of faint lines, and a search finds the best of
 * them: only what stands well above those is the cut. Null where there are too few slits in their places to tell (lost slugs and stripped outlines are no lines), or where most of the cuts are seen as edges of such gaps.
 */
export function presenceOf(paths: readonly TracedPath[], grid: StripGrid, expected: Expectation): Presence | null {
  if (cutShare(paths, (path) => path.look === "step" && !path.unexpected) > MOSTLY_GAPS) return null;
  const places = paths.filter((p) => isSlit(p) && !p.lipAlone && !p.moved).flatMap((p) => p.chunks.map((c) => ({ c, path: p }))).filter(({ c }) => c.chunk.stations > 0);
  // On black board slits are seen by their bared edges, as bright lines.
  const bright = new Map(paths.map((path) => [path, medianOf(path.chunks.filter((c) => c.found).map((c) => c.share)) > 0]));
  const stride = Math.max(1, Math.floor(places.length / ENOUGH));
  const some = places.filter((_, i) => i % stride === 0).flatMap(({ c, path }) => {
    const { width } = path;
    const at = expected(c.chunk, path);
    const slit = at === null ? null : fitAt(c.chunk, grid, "line", at - c.bias, width);
    if (at === null || !slit) return [];
    const t = at - c.bias;
    const isBright = bright.get(path) ?? false;
    return [{ found: c.found, chunk: withoutLine(c.chunk, grid, t, width, slit.amplitude), width, t, isBright, darkness: shareOf(slit), line: lineAt(c.chunk, grid, t, width, isBright) }];
  });
  const strengthBeside = (beside: number): { darkness: number; line: number } | null => {
    const there = some.flatMap(({ chunk, width, t, isBright }) => {
      const away = Math.sign(beside) * Math.max(Math.abs(beside), CLEAR * width);
      if (Math.abs(t + away) > grid.reach - 0.4) return [];
      const fit = fitAt(chunk, grid, "line", t + away, width);
      return fit ? [{ darkness: shareOf(fit), line: lineAt(chunk, grid, t + away, width, isBright) }] : [];
    });
    return there.length < FEWEST ? null : { darkness: overStandardError(there.map((v) => v.darkness)), line: lineStrength(there.map((v) => v.line)) };
  };
  if (some.length < FEWEST) return null;
  const beside = BESIDE.flatMap((d) => [strengthBeside(d), strengthBeside(-d)].filter((v) => v !== null));
  if (beside.length === 0) return null;
  const rootMeanSquare = (of: (b: (typeof beside)[number]) => number): number => Math.sqrt(beside.reduce((sum, b) => sum + of(b) ** 2, 0) / beside.length);
  return {
    strength: Math.abs(overStandardError(some.map((s) => s.darkness))), background: rootMeanSquare((b) => b.darkness),
    line: lineStrength(some.map((s) => s.line)), linesBeside: rootMeanSquare((b) => b.line), lineFound: lineStrength(some.filter((s) => s.found).map((s) => s.line)),
  };
}

/** How much darker the light at t is than on either side of it (brighter, for a slit that is, and where the ground is darker than a slit), as a share of the ground's: negative beside an edge, NaN where it is not seen. The flanks begin where the profile ends. */
export function lineAt({ profile, own = 0 }: Pick<Chunk, "profile" | "own">, grid: StripGrid, t: number, width: number, isBright: boolean): number {
  const mean = (from: number, to: number): number => {
    const [first, last] = [Math.max(0, Math.ceil((from + grid.reach) / grid.step)), Math.min(grid.count - 1, Math.floor((to + grid.reach) / grid.step))];
    let sum = 0;
    for (let i = first; i <= last; i++) sum += profile[i];
    return sum / Math.max(0, last - first + 1);
  };
  const [left, core, right] = [mean(t - 2.6 * width, t - 1.4 * width), mean(t - 0.7 * width, t + 0.7 * width), mean(t + 1.4 * width, t + 2.6 * width)];
  const ground = 0.5 * (left + right);
  return (isBright || ground < own ? core - Math.max(left, right) : Math.min(left, right) - core) / Math.max(ground, 0.01);
}

/** How plainly all of them are dark lines; 0 where they are none. */
export function lineStrength(lines: readonly number[]): number {
  const seen = lines.filter((v) => !Number.isNaN(v));
  return seen.length < FEWEST ? 0 : Math.max(0, overStandardError(seen));
}

/** The chunk with the slit taken out of its profile: its own flanks are no lines of the artwork. */
export function withoutLine(chunk: Chunk, grid: StripGrid, t: number, width: number, amplitude: number): Chunk {
  const profile = chunk.profile.slice();
  // Farther away nothing of it is left.
  const [from, to] = [t - 7 * width, t + 7 * width].map((at) => (at + grid.reach) / grid.step);
  for (let i = Math.max(0, Math.ceil(from)); i <= Math.min(grid.count - 1, to); i++) profile[i] -= amplitude * Math.exp(-0.5 * ((i * grid.step - grid.reach - t) / width) ** 2);
  return { ...chunk, profile };
}

/** In a picture without noise the shares hardly scatter, and every trace of a line would count: so little as this, a share of the ground's light, tells nothing. */
const LEAST_SCATTER = 0.01;

/** The median over its standard error, robust: the median's is 1.2533 times the mean's for normal scatter. */
function overStandardError(values: readonly number[]): number {
  const middle = medianOf(values);
  const deviation = robustSigma(values.map((v) => v - middle));
  return middle / (1.2533 * Math.max(deviation, LEAST_SCATTER) / Math.sqrt(values.length));
}
