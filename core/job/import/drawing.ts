import { FARTHEST } from "../paths.ts";
import type { Outline } from "./outline.ts";

/** What the lines of a layer, colour or processing step are for. */
export type Meaning = "cut" | "crease" | "mark" | "nothing";

/** Lines that the drawing itself keeps together: a layer, a spot colour, a processing step. */
export interface DrawingGroup {
  /** The name by which a preset remembers it: the layer's, the colour's or the step's own. */
  readonly name: string;
  readonly kind: "layer" | "colour" | "step";
}

export interface DrawnOutline {
  readonly outline: Outline;
  /** Index into the drawing's groups. */
  readonly group: number;
  readonly filled: boolean;
  /** Outlines of one object share a number: a ring is two circles filled as one. */
  readonly object: number;
}

/** What was read from an SVG, DXF or PDF file: lines in mm, y up, from the page's lower-left corner where there is a page. */
export interface Drawing {
  readonly groups: readonly DrawingGroup[];
  readonly outlines: readonly DrawnOutline[];
  /** The page, mm; null where the file has none (most DXF files). */
  readonly page: { readonly width: number; readonly height: number } | null;
  /** Page boxes of a PDF, mm from the lower-left corner of the page: [left, bottom, right, top]. */
  readonly boxes: Readonly<Record<string, readonly [number, number, number, number]>>;
  /** How many pages the file has; 1 but for a PDF. */
  readonly pages: number;
  /** Where placed pictures lie, mm: [left, bottom, right, top]. They draw no lines, but marks must keep clear of them. */
  readonly pictures?: ReadonlyArray<readonly [number, number, number, number]>;
  /** The format has no fills (DXF): a closed line stands for the area within. */
  readonly unfilled?: boolean;
  /** What was left out or assumed, as sentences. */
  readonly notes: readonly string[];
}

/** Why there is no drawing, in one sentence, and what to do; `needs` where the file is sound and only its unit has to be said. */
export interface Refusal {
  readonly ok: false;
  readonly reason: string;
  readonly hint: string;
  readonly needs?: "unit";
}

/** A drawing, or one sentence that says why there is none. */
export type ReadDrawing = { readonly ok: true; readonly drawing: Drawing } | Refusal;

/** A reader's refusal: why, and what to do, one sentence each. `needs`: what the reader would have to be told. */
export function refuse(reason: string, hint: string, needs?: Refusal["needs"]): Refusal {
  return { ok: false, reason, hint, ...(needs && { needs }) };
}

/** Most edges of a drawing that are read; more is not a job. */
const MOST_EDGES = 2_000_000;
const MOST_PICTURES = 100_000;

/** Thrown inside an importer when a drawing grows past every use; its reader turns it into a refusal. */
export class TooLarge extends Error {}

/** Collects outlines under their groups. */
export class Sheet {
  readonly groups: DrawingGroup[] = [];
  readonly outlines: DrawnOutline[] = [];
  readonly notes = new Set<string>();
  readonly pictures: Array<readonly [number, number, number, number]> = [];
  private readonly index = new Map<string, number>();
  private edges = 0;
  private objects = 0;

  group(name: string, kind: DrawingGroup["kind"]): number {
    const key = `${kind}\n${name}`;
    const known = this.index.get(key);
    if (known !== undefined) return known;
    this.index.set(key, this.groups.length);
    return this.groups.push({ name, kind }) - 1;
  }

  /** Notes where a picture lies: the box round its four corners. */
  addPicture(corners: ReadonlyArray<readonly [number, number]>): void {
    const [xs, ys] = [corners.map((c) => c[0]), corners.map((c) => c[1])];
    const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
    if (box.every((v) => Math.abs(v) <= FARTHEST) && this.pictures.length < MOST_PICTURES) this.pictures.push(box);
  }

  /** Adds the outlines of one object. */
  add(outlines: readonly Outline[], group: number, filled: boolean): void {
    const object = this.objects++;
    for (const outline of outlines) {
      if (outline.edges.length === 0) continue;
      this.edges += outline.edges.length;
      if (this.edges > MOST_EDGES) throw new TooLarge();
      this.outlines.push({ outline, group, filled, object });
    }
  }
}
