import type { Job } from "../schema.ts";
import { mapOutline, pathData, type Matrix, type Outline } from "../import/outline.ts";
import { overlayOf, type Exported, type ExportOptions, type OverlayLayer, type OverlayShape } from "./overlay.ts";

/** Line colours, as the trade usually shows cuts and creases (common practice, no source). */
const STROKES = { cuts: "#e6007e", creases: "#009fe3" } as const;

/** A job's overlay as an SVG drawing of the sheet's size in mm, one group to a layer. */
export function exportSvg(job: Job, options: ExportOptions = {}): Exported<string> {
  const read = overlayOf(job, options);
  if (!read.ok) return read;
  const { title, width, height, layers, notes } = read.overlay;
  // SVG's y runs down from the sheet's upper edge.
  const down: Matrix = [1, 0, 0, -1, 0, height];
  const file = `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="${number(width)}mm" height="${number(height)}mm" viewBox="0 0 ${number(width)} ${number(height)}">
<title>${escape(title)}</title>
${layers.map((layer) => group(layer, down, height)).join("\n")}
</svg>
`;
  return { ok: true, file, notes };
}

function group(layer: OverlayLayer, down: Matrix, height: number): string {
  const stroke = layer.part === "cuts" || layer.part === "creases" ? STROKES[layer.part] : null;
  const paint = stroke ? `fill="none" stroke="${stroke}" stroke-width="0.25"` : 'fill="#000000" fill-rule="evenodd" stroke="none"';
  return `<g id="${layer.name}" ${paint}>\n${layer.shapes.map((s) => shape(s, down, height)).join("\n")}\n</g>`;
}

function shape(s: OverlayShape, down: Matrix, height: number): string {
  const tone = s.light ? ' fill="#ffffff"' : "";
  const title = `<title>${escape(s.id)}</title>`;
  if (s.circle) return `<circle cx="${number(s.circle.x)}" cy="${number(height - s.circle.y)}" r="${number(s.circle.diameter / 2)}"${tone}>${title}</circle>`;
  return `<path d="${s.outlines.map((o: Outline) => pathData(mapOutline(o, down))).join("")}"${tone}>${title}</path>`;
}

/** To a tenth of a micrometre. */
function number(v: number): string {
  return String(Math.round(v * 1e4) / 1e4);
}

function escape(text: string): string {
  // Control characters have no place in XML 1.0 at all.
  return text.replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, " ").replace(/[&<>"]/g, (c) => `&#${c.charCodeAt(0)};`);
}
