import type { Mark } from "./schema.ts";

/** What of a job goes onto an overlay. Witness features are marks and circular cuts of the job as any other. */
export type OverlayPart = "marks" | "codes" | "cuts" | "creases";

/** Names of an overlay's layers; the importer takes each for what it is. */
export const LAYER_NAMES: Readonly<Record<OverlayPart, string>> = { marks: "Print marks", codes: "Codes", cuts: "Cut", creases: "Crease" };

/** Tones that a mark may state; undefined: found from the picture. */
export const TONES: readonly Mark["tone"][] = [undefined, "dark", "light"];

/** Marks of a stated tone stand on a layer of their own, whose name tells it. */
export function markLayerName(tone: Mark["tone"]): string {
  return tone ? `${LAYER_NAMES.marks}, ${tone}` : LAYER_NAMES.marks;
}

/** The tone that a layer's name tells; undefined where it tells none. */
export function toneOfLayer(name: string): Mark["tone"] {
  return TONES.find((tone) => name === markLayerName(tone));
}
