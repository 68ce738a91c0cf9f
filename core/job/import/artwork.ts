import type { Drawing, Meaning } from "./drawing.ts";
import { bounds, type Outline } from "./outline.ts";

/** An upright rectangle, mm: left, bottom, right, top. */
type Box = readonly [number, number, number, number];

/** What covers more of the page than this is its ground, on which marks stand, not something to keep out of. */
const GROUND = 0.5;

/**
 * The boxes of a print drawing's artwork, for marks to keep out of: what lies in groups that mean nothing, object by object, and placed pictures. Letters that were not
 * turned into outlines are not among them. `ground`: whether something as large as half the page was left out.
 */
export function artworkBoxes(drawing: Drawing, meanings: readonly Meaning[]): { readonly boxes: readonly Box[]; readonly ground: boolean } {
  const objects = new Map<number, Outline[]>();
  for (const o of drawing.outlines) {
    if (meanings[o.group] !== "nothing") continue;
    const parts = objects.get(o.object);
    if (parts) parts.push(o.outline);
    else objects.set(o.object, [o.outline]);
  }
  const all: Box[] = [...[...objects.values()].map((parts) => bounds(parts)), ...(drawing.pictures ?? [])];
  const page = drawing.page ? drawing.page.width * drawing.page.height : Infinity;
  const boxes = all.filter(([l, b, r, t]) => (r - l) * (t - b) <= GROUND * page);
  return { boxes, ground: boxes.length < all.length };
}
