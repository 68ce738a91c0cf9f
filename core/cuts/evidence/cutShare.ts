import type { TracedChunk, TracedPath } from "../trace.ts";

/** Share of the cuts' length that lies in the paths (by their index) that are `taken`; 0 where there are no cuts. */
export function cutShare(paths: readonly TracedPath[], taken: (path: TracedPath, i: number) => boolean): number {
  let [whole, part] = [0, 0];
  paths.forEach((path, i) => {
    if (path.kind !== "cut") return;
    whole += path.length;
    if (taken(path, i)) part += path.length;
  });
  return whole > 0 ? part / whole : 0;
}

/** Share of the cuts' length that lies in the chunks that are `taken`, which are asked in order; 0 where there are no cuts. */
export function chunkShare(paths: readonly TracedPath[], taken: (chunk: TracedChunk, path: TracedPath) => boolean): number {
  let [whole, part] = [0, 0];
  for (const path of paths) {
    if (path.kind !== "cut") continue;
    for (const c of path.chunks) {
      whole += c.chunk.length;
      if (taken(c, path)) part += c.chunk.length;
    }
  }
  return whole > 0 ? part / whole : 0;
}
