import type { CutLook } from "./evidence.ts";
import type { TracedPath } from "./trace.ts";

/** Share of the cuts' length that was taken for a look; 0 where there are no cuts. */
export function lookShare(paths: readonly TracedPath[], look: CutLook): number {
  let [whole, taken] = [0, 0];
  for (const path of paths) {
    if (path.kind !== "cut") continue;
    whole += path.length;
    if (path.look === look) taken += path.length;
  }
  return whole > 0 ? taken / whole : 0;
}
