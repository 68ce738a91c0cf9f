import type { TracedPath } from "./trace.ts";

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
