import type { TracedChunk, TracedPath } from "../cuts/trace.ts";

/** A piece of a cut along which it was not seen: its length and its middle chunk's place, mm. */
export interface Unseen {
  readonly feature: string;
  readonly length: number;
  readonly x: number;
  readonly y: number;
}

/** A knife leaves its path and comes back within a few centimetres: shorter than this, mm, it would have been seen to leave on one side or the other. */
const HIDES = 20;

/** The pieces of the cuts, without a gap and long enough for a knife to have left its path, along which nothing was seen of them. */
export function unseenPieces(paths: readonly TracedPath[]): Unseen[] {
  return paths.filter((path) => path.kind === "cut").flatMap((path) => runsOf(path).flatMap((run) => {
    const length = run.reduce((sum, { chunk }) => sum + chunk.length, 0);
    const { x, y } = run[run.length >> 1].chunk;
    return length >= HIDES - 1e-6 ? [{ feature: path.feature, length, x, y }] : [];
  }));
}

/** Runs of chunks that were not found, also across the start of a closed path. */
function runsOf({ chunks, closed }: TracedPath): TracedChunk[][] {
  const from = closed ? Math.max(0, chunks.findIndex((c) => c.found)) : 0;
  const runs: TracedChunk[][] = [[]];
  for (let i = 0; i < chunks.length; i++) {
    const c = chunks[(from + i) % chunks.length];
    if (c.found) runs.push([]);
    else runs[runs.length - 1].push(c);
  }
  return runs.filter((run) => run.length > 0);
}
