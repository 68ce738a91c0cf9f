import type { Line, OverlayLines, StretchInPicture, WitnessInPicture } from "./overlayLines.ts";
import type { Viewport } from "./viewport.ts";

export interface Layers {
  readonly marks: boolean;
  readonly nominal: boolean;
  readonly found: boolean;
  readonly deviation: boolean;
}

/** Colours of the drawing, read from the theme. */
export interface Inks {
  readonly mark: string;
  readonly missing: string;
  readonly nominal: string;
  readonly found: string;
  readonly within: string;
  readonly beyond: string;
  readonly halo: string;
  /** Size of small words on the picture, px: it grows with the text of the screens. */
  readonly small: number;
}

/**
 * Draws what was measured over the picture. A bright or dark halo under each line keeps it readable on any print; what is
 * beyond tolerance differs in weight and in its end bars, not only in colour.
 */
export function drawOverlay(g: CanvasRenderingContext2D, view: Viewport, lines: OverlayLines, layers: Layers, factor: number, inks: Inks): void {
  g.lineJoin = "round";
  if (layers.nominal) drawNominal(g, view, lines, inks);
  if (layers.deviation) for (const run of lines.runs) drawDeviation(g, view, run, factor, inks);
  if (layers.found) drawFound(g, view, lines, inks);
  if (layers.deviation) for (const witness of lines.witnesses) drawWitness(g, view, witness, factor, inks);
  if (layers.marks) for (const mark of lines.marks) drawMark(g, view, mark, inks);
  if (lines.worst && layers.deviation) drawWorst(g, view, lines.worst, inks);
}

/** Strokes the path twice: a wide halo, then the ink. */
function stroke(g: CanvasRenderingContext2D, ink: string, width: number, halo: string, dash: number[] = []): void {
  g.setLineDash([]);
  g.strokeStyle = halo;
  g.lineWidth = width + 2.5;
  g.stroke();
  g.setLineDash(dash);
  g.strokeStyle = ink;
  g.lineWidth = width;
  g.stroke();
  g.setLineDash([]);
}

function trace(g: CanvasRenderingContext2D, view: Viewport, line: Line): void {
  line.points.forEach((p, i) => {
    const x = p.x * view.scale + view.x;
    const y = p.y * view.scale + view.y;
    if (i === 0) g.moveTo(x, y);
    else g.lineTo(x, y);
  });
  if (line.closed) g.closePath();
}

function drawNominal(g: CanvasRenderingContext2D, view: Viewport, lines: OverlayLines, inks: Inks): void {
  g.beginPath();
  for (const line of lines.cuts) trace(g, view, line);
  stroke(g, inks.nominal, 1.5, inks.halo, [7, 4]);
  g.beginPath();
  for (const line of lines.creases) trace(g, view, line);
  stroke(g, inks.nominal, 1.5, inks.halo, [2, 4]);
}

/** The place of a stretch's cut, its deviation taken `factor` times. */
function cutAt(view: Viewport, s: StretchInPicture, factor: number): [number, number] {
  const k = s.report.value * factor;
  return [(s.foot.x + s.per.x * k) * view.scale + view.x, (s.foot.y + s.per.y * k) * view.scale + view.y];
}

function drawFound(g: CanvasRenderingContext2D, view: Viewport, lines: OverlayLines, inks: Inks): void {
  g.beginPath();
  for (const run of lines.runs) {
    run.forEach((s, i) => (i === 0 ? g.moveTo(...cutAt(view, s, 1)) : g.lineTo(...cutAt(view, s, 1))));
  }
  stroke(g, inks.found, 1.5, inks.halo);
}

/** A comb of whiskers from the nominal line to the enlarged place of the cut, joined at their tips. */
function drawDeviation(g: CanvasRenderingContext2D, view: Viewport, run: readonly StretchInPicture[], factor: number, inks: Inks): void {
  g.beginPath();
  run.forEach((s, i) => (i === 0 ? g.moveTo(...cutAt(view, s, factor)) : g.lineTo(...cutAt(view, s, factor))));
  stroke(g, inks.within, 2, inks.halo);
  for (const beyond of [false, true]) {
    g.beginPath();
    for (const s of run) {
      if (s.beyond !== beyond) continue;
      const [x, y] = cutAt(view, s, factor);
      g.moveTo(s.foot.x * view.scale + view.x, s.foot.y * view.scale + view.y);
      g.lineTo(x, y);
      if (beyond) endBar(g, s, x, y);
    }
    stroke(g, beyond ? inks.beyond : inks.within, beyond ? 3 : 1, inks.halo);
  }
}

/** An arrow from where the hole belongs to the enlarged place of where it is. */
function drawWitness(g: CanvasRenderingContext2D, view: Viewport, { at, off, beyond }: WitnessInPicture, factor: number, inks: Inks): void {
  const [x, y] = [at.x * view.scale + view.x, at.y * view.scale + view.y];
  const [dx, dy] = [off.x * factor * view.scale, off.y * factor * view.scale];
  const length = Math.hypot(dx, dy);
  if (length === 0) return;
  const head = Math.min(9, length);
  const [ux, uy] = [(dx / length) * head, (dy / length) * head];
  g.beginPath();
  g.moveTo(x, y);
  g.lineTo(x + dx, y + dy);
  for (const side of [-0.5, 0.5]) {
    g.moveTo(x + dx, y + dy);
    g.lineTo(x + dx - ux - side * uy, y + dy - uy + side * ux);
  }
  stroke(g, beyond ? inks.beyond : inks.within, 2.5, inks.halo);
}

function endBar(g: CanvasRenderingContext2D, s: StretchInPicture, x: number, y: number): void {
  const length = Math.hypot(s.per.x, s.per.y) || 1;
  const tx = (-s.per.y / length) * 5;
  const ty = (s.per.x / length) * 5;
  g.moveTo(x - tx, y - ty);
  g.lineTo(x + tx, y + ty);
}

function drawMark(g: CanvasRenderingContext2D, view: Viewport, mark: OverlayLines["marks"][number], inks: Inks): void {
  const x = mark.at.x * view.scale + view.x;
  const y = mark.at.y * view.scale + view.y;
  const r = Math.max(9, mark.radius * view.scale * 1.35);
  g.beginPath();
  if (mark.found) {
    g.arc(x, y, r, 0, 2 * Math.PI);
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      g.moveTo(x + dx * r, y + dy * r);
      g.lineTo(x + dx * (r + 6), y + dy * (r + 6));
    }
    stroke(g, inks.mark, 2, inks.halo);
  } else {
    g.rect(x - r, y - r, 2 * r, 2 * r);
    g.moveTo(x - r, y - r);
    g.lineTo(x + r, y + r);
    stroke(g, inks.missing, 2, inks.halo, [4, 3]);
  }
  if (mark.radius * view.scale > 5) label(g, mark.id, x + r + 8, y - r, mark.found ? inks.mark : inks.missing, inks);
}

function drawWorst(g: CanvasRenderingContext2D, view: Viewport, worst: { x: number; y: number }, inks: Inks): void {
  const x = worst.x * view.scale + view.x;
  const y = worst.y * view.scale + view.y;
  g.beginPath();
  g.moveTo(x, y - 16);
  g.lineTo(x + 16, y);
  g.lineTo(x, y + 16);
  g.lineTo(x - 16, y);
  g.closePath();
  stroke(g, inks.beyond, 2.5, inks.halo);
}

function label(g: CanvasRenderingContext2D, text: string, x: number, y: number, ink: string, { halo, small }: Inks): void {
  g.font = `600 ${small}px system-ui, sans-serif`;
  g.strokeStyle = halo;
  g.lineWidth = 3;
  g.strokeText(text, x, y);
  g.fillStyle = ink;
  g.fillText(text, x, y);
}
