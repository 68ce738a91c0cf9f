import { isSlit } from "../evidence/evidence.ts";
import { medianOf } from "../../statistics/median.ts";
import { groundAbout } from "./lip.ts";
import { profileHalf } from "../profile/slitProfile.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** Ground darker than usual by more than this (logarithm), or lighter, draws slits aside no farther: lip and slit melt into one line, or there is hardly a line. */
const MOST = 1.5;

/** Gives every chunk of a slit the tone of its ground: the logarithm of how much darker it is than that of most, under the same light. A slit that is brighter than its ground has none. */
export function toned(paths: readonly TracedPath[], grid: StripGrid, blur: number): TracedPath[] {
  const half = profileHalf(blur, grid.step);
  const ground = ({ chunk, t }: TracedChunk): number => groundAbout(chunk, t, grid, half);
  const isBright = (c: TracedChunk): boolean => ground(c) < (c.chunk.own ?? 0);
  const darkness = (c: TracedChunk): number => -Math.log(ground(c) / (c.chunk.light ?? 1));
  const all = paths.filter(isSlit).flatMap(({ chunks }) => chunks.filter((c) => c.found && !isBright(c)).map(darkness)).filter(Number.isFinite);
  const usual = medianOf(all);
  const tone = (c: TracedChunk): number => {
    const off = darkness(c) - usual;
    return Number.isNaN(off) ? 0 : Math.max(-MOST, Math.min(MOST, off));
  };
  return paths.map((path) => (isSlit(path) ? { ...path, chunks: path.chunks.map((c) => (!c.found ? c : isBright(c) ? { ...c, bright: true } : { ...c, tone: tone(c) })) } : path));
}
