import Flatbush from "flatbush";
import type { Size, Viewport } from "../../picture/viewport.ts";
import type { Level, Lines } from "./lines.ts";

/** How the lines of an owner look. Owners that share the same object are drawn together. */
export interface LineStyle {
  readonly ink: string;
  /** CSS pixels. */
  readonly width: number;
  readonly dash: readonly number[];
  /** Higher ones lie above. */
  readonly order: number;
}

/** The style of an owner; null where its lines are not shown. */
export type StyleOf = (owner: number) => LineStyle | null;

/** Edges a path holds before it is stroked: long paths of crossing lines are slow to fill in. */
const BATCH = 500;
/** A style with more edges than this in sight is drawn thin and without dashes, which could not be seen in the crowd and cost several times as much. */
const CROWD = 10_000;

const indexes = new WeakMap<Level, Flatbush>();

function indexOf(level: Level): Flatbush {
  const known = indexes.get(level) ?? Flatbush.from(level.index);
  indexes.set(level, known);
  return known;
}

/** The coarsest level whose grid is at most half a pixel. */
function levelFor(lines: Lines, scale: number): Level {
  return lines.levels.findLast((l) => l.grid * scale <= 0.5) ?? lines.levels[0];
}

/**
 * Draws what of the lines is in sight, in portions, and yields the number of edges in each, so that its caller can stop to show a frame. `height` is
 * the sheet's, mm: the print frame's y runs up, the canvas's down.
 */
export function* drawLines(g: CanvasRenderingContext2D, lines: Lines, height: number, view: Viewport, size: Size, styleOf: StyleOf): Generator<number, void> {
  const level = levelFor(lines, view.scale);
  const byStyle = new Map<LineStyle, number[]>();
  const inSight = indexOf(level).search(
    -view.x / view.scale, height - (size.height - view.y) / view.scale, (size.width - view.x) / view.scale, height + view.y / view.scale);
  for (const chunk of inSight) {
    const style = styleOf(level.owners[chunk]);
    if (!style) continue;
    const chunks = byStyle.get(style);
    if (chunks) chunks.push(chunk);
    else byStyle.set(style, [chunk]);
  }
  g.lineJoin = "round";
  g.lineCap = "butt";
  for (const [style, chunks] of [...byStyle].sort(([a], [b]) => a.order - b.order)) {
    const crowd = chunks.reduce((sum, c) => sum + level.chunks[c + 1] - level.chunks[c], 0) > CROWD;
    g.strokeStyle = style.ink;
    g.lineWidth = crowd ? Math.min(1, style.width) : style.width;
    g.setLineDash(crowd ? [] : [...style.dash]);
    let waiting = 0;
    g.beginPath();
    for (const chunk of chunks.sort((a, b) => a - b)) {
      waiting += trace(g, level, chunk, height, view);
      if (waiting < BATCH) continue;
      g.stroke();
      yield waiting;
      g.beginPath();
      waiting = 0;
    }
    g.stroke();
    if (waiting > 0) yield waiting;
  }
  g.setLineDash([]);
}

function trace(g: CanvasRenderingContext2D, { segments, chunks }: Level, chunk: number, height: number, { scale, x, y }: Viewport): number {
  const y0 = y + scale * height;
  let [px, py] = [NaN, NaN];
  for (let i = 4 * chunks[chunk]; i < 4 * chunks[chunk + 1]; i += 4) {
    if (segments[i] !== px || segments[i + 1] !== py) g.moveTo(x + scale * segments[i], y0 - scale * segments[i + 1]);
    px = segments[i + 2];
    py = segments[i + 3];
    g.lineTo(x + scale * px, y0 - scale * py);
  }
  return chunks[chunk + 1] - chunks[chunk];
}

/** The owner of the shown line nearest to a point (print frame, mm) within `reach`; null where there is none. */
export function ownerAt(lines: Lines, at: { readonly x: number; readonly y: number }, reach: number, styleOf: StyleOf): number | null {
  const level = lines.levels[0];
  let best: number | null = null;
  let nearest = reach;
  for (const chunk of indexOf(level).search(at.x - reach, at.y - reach, at.x + reach, at.y + reach)) {
    if (!styleOf(level.owners[chunk])) continue;
    for (let i = 4 * level.chunks[chunk]; i < 4 * level.chunks[chunk + 1]; i += 4) {
      const d = distance(at, level.segments, i);
      if (d <= nearest) [nearest, best] = [d, level.owners[chunk]];
    }
  }
  return best;
}

function distance(p: { readonly x: number; readonly y: number }, s: Float32Array, i: number): number {
  const [dx, dy] = [s[i + 2] - s[i], s[i + 3] - s[i + 1]];
  const t = Math.max(0, Math.min(1, ((p.x - s[i]) * dx + (p.y - s[i + 1]) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p.x - s[i] - t * dx, p.y - s[i + 1] - t * dy);
}
