import { medianOf } from "../../statistics/median.ts";
import { DIRECTIONS, directionOf, sidesOf, type Side } from "../directions.ts";
import { isSlit } from "../evidence/evidence.ts";
import { lineAt } from "../evidence/presence.ts";
import type { StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** A side is told by so many chunks, and looked at where it is so many times as faint as the plainest of its path. */
const FEWEST = 4;
const FAINT = 3;
/** How far from what was found a lit wall may be seen, and the steps in which it is looked for, mm. */
const NEAR = 0.45;
const STEP = 0.05;
/** So many times as bright over its ground as what was found is dark. */
const BRIGHTER = 2;
/** A lit wall is brighter than dark print by so much of that print's light at least. */
const LEAST_BRIGHT = 0.1;
/** The light falls in by halves up to so many directions (an eighth of a turn) away, where slits are so many times as faint as the plainest. */
const BESIDE = 2;
const FAINTER = 1.5;

/**
 * The paths of dark slits without the sides on which the light falls into the slit, in print darker than its lit wall: what is found there as a dark line is the faint foot of a bright one, up to two tenths of a millimetre aside (one scan drawn by
 * others, whose verdict was wrong). Where exactly the bright line lies in its slit is not known.
 */
export function withoutLitWalls(paths: readonly TracedPath[], grid: StripGrid): TracedPath[] {
  const looks = paths.map((path) => (isDarkSlit(path) ? lookAt(path) : null));
  const lit = new Set(looks.flatMap((look, i) => (look?.sides ?? []).filter((side) => FAINT * side.plain < (look?.plainest ?? 0) && isLit(side.chunks, paths[i].width, grid)).map((side) => side.direction)));
  if (lit.size === 0) return [...paths];
  const beside = new Set([...lit].flatMap((d) => Array.from({ length: 2 * BESIDE + 1 }, (_, k) => (d + k - BESIDE + DIRECTIONS) % DIRECTIONS)));
  return paths.map((path, i) => {
    const look = looks[i];
    return look === null ? path : { ...path, chunks: path.chunks.map((c) => (beside.has(directionOf(c.chunk)) && FAINTER * c.significance < look.plainest ? { ...c, found: false, lit: true } : c)) };
  });
}

function isDarkSlit(path: TracedPath): boolean {
  return isSlit(path) && medianOf(path.chunks.flatMap((c) => (c.found ? [c.share] : []))) < 0;
}

/** The sides of a path that are told, how plain each is (median of amplitude over its uncertainty), and the plainest. */
function lookAt({ chunks }: TracedPath): { readonly sides: readonly (Side<TracedChunk> & { readonly plain: number })[]; readonly plainest: number } {
  const sides = sidesOf(chunks.filter((c) => c.found && !c.left), FEWEST).map((side) => ({ ...side, plain: medianOf(side.chunks.map((c) => c.significance)) }));
  return { sides, plainest: Math.max(0, ...sides.map((side) => side.plain)) };
}

function isLit(side: readonly TracedChunk[], width: number, grid: StripGrid): boolean {
  const looks = side.map(({ chunk: { profile }, t, bias }) => {
    const at = t - bias;
    let bright = 0;
    for (let d = -NEAR; d <= NEAR; d += STEP) bright = Math.max(bright, lineAt({ profile }, grid, at + d, width, true) || 0);
    return { bright, dark: lineAt({ profile }, grid, at, width, false) || 0 };
  });
  return medianOf(looks.map((l) => l.bright)) > Math.max(LEAST_BRIGHT, BRIGHTER * medianOf(looks.map((l) => l.dark)));
}
