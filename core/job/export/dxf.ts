import type { Job } from "../schema.ts";
import type { Outline } from "../import/outline.ts";
import { arcsOf, type Vertex } from "./arcs.ts";
import { dxfFrame } from "./dxfFrame.ts";
import type { OverlayPart } from "../layerNames.ts";
import { overlayOf, type Exported, type ExportOptions, type OverlayShape } from "./overlay.ts";

/** Colours of the layers by the format's own index: magenta cuts, cyan creases (common practice, no source), marks and codes black or white. */
const COLOURS: Readonly<Record<OverlayPart, number>> = { marks: 7, codes: 7, cuts: 6, creases: 4 };

/**
 * A job's overlay as an ASCII DXF drawing (release 2000) in mm, the sheet's lower-left corner at the origin. Curves are arcs within 0.0002 mm; a DXF
 * line has no fill, so that marks are their outlines, and the modules of codes solids.
 */
export function exportDxf(job: Job, options: ExportOptions = {}): Exported<string> {
  const read = overlayOf(job, options);
  if (!read.ok) return read;
  const { layers, width, height, notes } = read.overlay;
  const entities = layers.flatMap((layer) => layer.shapes.flatMap((s) => (layer.part === "codes" ? s.outlines.map((o) => solid(o, layer.name)) : shape(s, layer.name))));
  const light = layers.some((l) => l.shapes.some((s) => s.light)) ? ["A DXF drawing cannot say that a mark is left free of ink: the light ones stand on a layer of their own; see to them in the artwork."] : [];
  return { ok: true, file: dxfFrame(layers.map((l) => ({ name: l.name, colour: COLOURS[l.part] })), entities, { width, height }), notes: [...notes, ...light] };
}

/** An entity without its handle: its kind, layer, subclass and the tags of that. */
export interface DxfEntity {
  readonly kind: string;
  readonly layer: string;
  readonly subclass: string;
  readonly tags: ReadonlyArray<readonly [number, string | number]>;
}

function shape({ outlines, circle }: OverlayShape, layer: string): DxfEntity[] {
  if (circle) return [circleEntity(circle, layer)];
  return outlines.map((o) => {
    const round = o.closed ? circleIn(arcsOf(o)) : null;
    return round ? circleEntity(round, layer) : polyline(o, layer);
  });
}

function circleEntity({ x, y, diameter }: { readonly x: number; readonly y: number; readonly diameter: number }, layer: string): DxfEntity {
  return { kind: "CIRCLE", layer, subclass: "AcDbCircle", tags: [[10, x], [20, y], [30, 0], [40, diameter / 2]] };
}

function polyline(o: Outline, layer: string): DxfEntity {
  const vertices = arcsOf(o);
  const tags = vertices.flatMap(({ x, y, bulge }): Array<readonly [number, number]> => [[10, x], [20, y], ...(bulge === 0 ? [] : [[42, bulge] as const])]);
  return { kind: "LWPOLYLINE", layer, subclass: "AcDbPolyline", tags: [[90, vertices.length], [70, o.closed ? 1 : 0], ...tags] };
}

/** The third and fourth corner of a solid are crossed over. */
function solid(o: Outline, layer: string): DxfEntity {
  const [b, c, d] = o.edges;
  const corners = [[o.x, o.y], b, d, c];
  return { kind: "SOLID", layer, subclass: "AcDbTrace", tags: corners.flatMap(([x, y], i) => [[10 + i, x], [20 + i, y], [30 + i, 0]] as const) };
}

/** The circle that closed arcs make; null where they are something else. */
function circleIn(vertices: readonly Vertex[]): { x: number; y: number; diameter: number } | null {
  if (vertices.length < 8 || vertices.some((v) => !(v.bulge > 0))) return null;
  const x = vertices.reduce((s, v) => s + v.x, 0) / vertices.length;
  const y = vertices.reduce((s, v) => s + v.y, 0) / vertices.length;
  const radii = vertices.map((v) => Math.hypot(v.x - x, v.y - y));
  const r = radii.reduce((s, v) => s + v, 0) / radii.length;
  const sweep = vertices.reduce((s, v) => s + 4 * Math.atan(v.bulge), 0);
  return radii.every((v) => Math.abs(v - r) < 1e-6 * r) && Math.abs(sweep - 2 * Math.PI) < 1e-4 ? { x, y, diameter: 2 * r } : null;
}
