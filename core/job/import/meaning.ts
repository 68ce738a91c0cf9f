import { z } from "zod";
import type { Drawing, DrawingGroup, Meaning } from "./drawing.ts";

/** What each group of a drawing means, by its name: remembered per shop. */
export const presetSchema = z.strictObject({ name: z.string(), meanings: z.record(z.string(), z.enum(["cut", "crease", "mark", "nothing"])) });
export type Preset = z.infer<typeof presetSchema>;

/** Words of the trade in the names of layers and colours; the first that fits decides (common practice, no source). */
const WORDS: ReadonlyArray<readonly [Meaning, RegExp]> = [
  ["nothing", /\bcodes?\b|barcode|partial|perforat|dimension|legend|glue|varnish|braille|white|bleed|artwork|text|guide|defpoints/i],
  ["mark", /mark|regist|fiducial|target|witness/i],
  ["crease", /crease|creas|fold|score|scor|rill|crush/i],
  ["cut", /cut|die|thru|through|kiss|knife|trim|contour|outline|blade|punch/i],
];

/**
 * Proposes what a group's lines are for: a processing step by ISO 19593-1 says so itself, else the words in its name; a saved
 * preset comes before both. A drawing whose single group has a name that says nothing is all cut.
 */
export function proposeMeanings(drawing: Pick<Drawing, "groups">, preset?: Preset): Meaning[] {
  const proposed = drawing.groups.map((g) => preset?.meanings[g.name] ?? meaningOf(g));
  if (proposed.some((m) => m === "cut" || m === "crease")) return proposed.map((m) => m ?? "nothing");
  const unnamed = proposed.filter((m) => m === null).length;
  return proposed.map((m) => m ?? (unnamed === 1 ? "cut" : "nothing"));
}

function meaningOf({ name, kind }: DrawingGroup): Meaning | null {
  if (kind === "step") {
    const [group, type = ""] = name.split(": ");
    if (group === "Positions") return "mark";
    if (group !== "Structural") return "nothing";
    if (type === "Cutting" || type === "Punching") return "cut";
    return /^(Reverse)?Creasing$|^Folding$/.test(type) ? "crease" : "nothing";
  }
  return WORDS.find(([, words]) => words.test(name))?.[0] ?? null;
}
