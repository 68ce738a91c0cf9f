import type { Meaning } from "../../../core/job/import/drawing.ts";

/** In the order of their keys, 1 to 4. */
export const MEANINGS: readonly Meaning[] = ["cut", "crease", "mark", "nothing"];
