import type { Drawing, Meaning } from "./drawing.ts";
import { bounds, type Outline } from "./outline.ts";

/** An upright rectangle, mm: left, bottom, right, top. */
type Box = readonly [number, number, number, number];

/** What covers more of the page than this is its ground, on which marks stand, not something to keep out of. */
const GROUND = 0.5;
/** A page that differs from the sheet by more, mm, is not the sheet. */
const ANOTHER_SIZE = 0.5;

/**
 * The boxes of a print drawing's artwork, for marks to keep out of: what lies in groups that mean nothing, object by object, and placed pictures. Letters that were not
 * turned into outlines are not among them. `notes`: what to look to, as sentences; `sheet`: the job's, on whose lower-left corner the page's is laid, mm.
 */
export function artworkBoxes(drawing: Drawing, meanings: readonly Meaning[], sheet: { readonly width: number; readonly height: number }): { readonly boxes: readonly Box[]; readonly notes: readonly string[] } {
  const objects = new Map<number, Outline[]>();
  for (const o of drawing.outlines) {
    if (meanings[o.group] !== "nothing") continue;
    const parts = objects.get(o.object);
    if (parts) parts.push(o.outline);
    else objects.set(o.object, [o.outline]);
  }
  const all: Box[] = [...[...objects.values()].map((parts) => bounds(parts)), ...(drawing.pictures ?? [])];
  const { page } = drawing;
  const ground = GROUND * (page ? page.width * page.height : Infinity);
  const boxes = all.filter(([l, b, r, t]) => (r - l) * (t - b) <= ground);
  const notes = ["Text that is not turned into outlines is not seen: look whether a proposed mark stands on it."];
  if (boxes.length < all.length) notes.push("What fills half of the page or more was taken for the ground, on which marks may stand.");
  if (page && Math.max(Math.abs(page.width - sheet.width), Math.abs(page.height - sheet.height)) > ANOTHER_SIZE) {
    notes.push(`The artwork's page is ${page.width.toFixed(1)} x ${page.height.toFixed(1)} mm and the sheet another: their lower-left corners were laid on each other.`);
  }
  return { boxes, notes };
}
