import { DIRECTIONS, directionOf } from "../directions.ts";
import { BY_HUE, endsByHue, type Hue } from "./hueEdges.ts";
import { registerPaths, type CoarseShift, type SeenPath } from "../register.ts";
import { endsOfBands, type Bands } from "./shadowBands.ts";
import { IN_SHADOW, shadowEnds } from "./shadowEnds.ts";
import type { Chunk, StripGrid } from "../strips/strip.ts";
import type { TracedChunk, TracedPath } from "../trace.ts";

/** What a path was traced from. */
interface Seen extends SeenPath {
  readonly hue?: Hue;
}

const NO_BANDS: Bands = { shadowed: new Map(), hidden: new Set() };

/** The paths of stripped pieces without the ends of shadows that were taken for edges, and where all cuts together are by those that are in the light. */
export function outOfShadow(traced: readonly TracedPath[], seen: readonly Seen[], shift: CoarseShift, grid: StripGrid): { readonly paths: readonly TracedPath[]; readonly shift: CoarseShift } {
  const outlines = traced.map((path) => path.look === "step" && path.away !== 0 && path.closed);
  const bands = traced.map((path, i) => (outlines[i] ? endsOfBands(path, grid) : NO_BANDS));
  // The light that throws a shadow from one edge throws one from all that face the same way, windows' edges too.
  const thrown = new Set(bands.flatMap(({ shadowed }, i) => [...shadowed.keys()].map((d) => outwards(d, traced[i].away))));
  const out = traced.map((path, i) => (outlines[i] ? lookedAtAgain(path, seen[i].hue, bands[i], thrown, grid) : path));
  if (out.every((path) => !path.shadowed)) return { paths: traced, shift };
  return { paths: out, shift: registerPaths(seen, grid, (chunk, i) => !out[i].shadowed?.has(directionOf(chunk))) };
}

/** The direction in which the table lies from a piece's edge, for the direction of a path's normal; and back. */
function outwards(direction: number, away: -1 | 0 | 1): number {
  return away < 0 ? (direction + DIRECTIONS / 2) % DIRECTIONS : direction;
}

/**
 * A path in whose shadowed directions nothing is found yet, and nothing will be where a dark band hides the edge; where the hue tells its edge from the shadow's end, it is looked at in the hue, where the shadow shows as a band without that end.
 *
 * @param thrown directions in which shadows are thrown, outwards from the piece.
 */
function lookedAtAgain(path: TracedPath, hue: Hue | undefined, { shadowed: bands, hidden }: Bands, thrown: ReadonlySet<number>, grid: StripGrid): TracedPath {
  const byHue = hue ? [...endsByHue(path, hue, grid)] : [];
  const inShadow = [...shadowEnds(path, grid), ...[...thrown].map((d) => outwards(d, path.away))];
  const shadowed = new Map([...inShadow.map((d) => [d, IN_SHADOW] as const), ...byHue.map(([d]) => [d, BY_HUE] as const), ...[...hidden].map((d) => [d, IN_SHADOW] as const)]);
  if (shadowed.size === 0) return path;
  const instead = new Map([...bands, ...byHue].flatMap(([, chunks]) => chunks.map((chunk) => [chunk.s, chunk])));
  const tone = thrown.size > 0 ? { tone: Math.sign(path.chunks.find((c) => c.found)?.share ?? 0) } : {};
  const lookedAt = ({ chunk }: TracedChunk): Chunk => (hidden.has(directionOf(chunk)) ? { ...chunk, stations: 0 } : (instead.get(chunk.s) ?? chunk));
  return { ...path, ...tone, shadowed, chunks: path.chunks.map((c) => (shadowed.has(directionOf(c.chunk)) ? { ...c, chunk: lookedAt(c), found: false } : c)) };
}
