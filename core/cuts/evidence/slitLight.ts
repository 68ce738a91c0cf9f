import { bestRun, evidenceOf, profileOf } from "./evidence.ts";
import { fitAt } from "../locate.ts";
import { medianOf } from "../../statistics/median.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { Strips } from "../strips/strips.ts";

/** Lights of a slit that are tried, as shares of the lightest ground: near enough to each other to tell light ground from dark. */
const TRIED = [0.03, 0.05, 0.09, 0.15, 0.25, 0.42] as const;
/** The lightest ground is that of this share of all chunks. */
const LIGHTEST = 0.95;
/** Half the width of a slit, mm, on top of the picture's blur (common practice, no source). */
const HALF_WIDTH = 0.12;
/** A slit less significant than this tells nothing of its light. */
const SIGNIFICANT = 4;
const FEWEST = 12;

/**
 * The light of the slits themselves: little comes from their depth, more from board that the blade laid bare and from torn edges, and what comes is the same whatever is printed beside it. A slit
 * takes a share of its width of the difference to the ground's light away, so that on lighter ground it is a dark line and on darker print a bright one. First the light under which most of all cuts
 * together is seen, then that of the line through the depths over their grounds, linear, where the light on the sheet is as in its middle; 0 where all slits are seen as dark lines.
 */
export function slitLight({ paths, grid, blur }: Strips): number {
  const cuts = paths.flatMap((path) => (path.kind === "cut" ? [path.chunks.filter((c) => c.stations > 0)] : []));
  const grounds = cuts.flat().map((c) => medianOf(Float64Array.from(c.profile).filter((v) => !Number.isNaN(v))) / (c.light ?? 1)).sort((a, b) => a - b);
  const lightest = grounds[Math.floor(LIGHTEST * grounds.length)] ?? 0;
  const profiles = cuts.map((chunks) => chunks.map(profileOf));
  const runs = [0, ...TRIED].map((share) => cuts.map((chunks, k) => bestRun(chunks.map((c, i) => evidenceOf(profiles[k][i], grid, "line", blur, -1, share * lightest * (c.light ?? 1))), grid)));
  const seen = runs.map((run) => run.reduce((sum, { mean }, k) => sum + cuts[k].length * mean, 0));
  const best = seen.indexOf(Math.max(...seen));
  return best === 0 ? 0 : levelOf(cuts.flatMap((chunks, k) => depthsAt(chunks, runs[best][k].at, grid, blur)));
}

interface Depth {
  readonly ground: number;
  readonly amplitude: number;
}

/** How deep a path's slit is in the place, mm, where most of the path shows one, over its ground; both under the light of the sheet's middle. */
function depthsAt(chunks: readonly Chunk[], at: number, grid: StripGrid, blur: number): Depth[] {
  return chunks.flatMap((c) => {
    const fit = fitAt(c, grid, "line", at, Math.hypot(blur, HALF_WIDTH));
    return fit && fit.significance > SIGNIFICANT ? [{ ground: fit.ground / (c.light ?? 1), amplitude: fit.amplitude / (c.light ?? 1) }] : [];
  });
}

/** The ground on which a slit would not be seen: where the line through the depths, resistant to outliers (by the medians of its outer thirds; Tukey 1977, ch. 5, from memory), crosses none. */
function levelOf(depths: Depth[]): number {
  if (depths.length < FEWEST) return 0;
  const sorted = [...depths].sort((a, b) => a.ground - b.ground);
  const third = Math.floor(sorted.length / 3);
  const middle = (some: readonly Depth[]): Depth => ({ ground: medianOf(some.map((d) => d.ground)), amplitude: medianOf(some.map((d) => d.amplitude)) });
  const [dark, light] = [middle(sorted.slice(0, third)), middle(sorted.slice(-third))];
  const slope = (light.amplitude - dark.amplitude) / (light.ground - dark.ground);
  return slope < 0 ? Math.max(0, medianOf(depths.map((d) => d.ground - d.amplitude / slope))) : 0;
}
