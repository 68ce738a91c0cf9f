import type { UncertaintyMap } from "../../../core/design/predict.ts";
import { type Plot } from "../canvas/drawSheet.ts";

/** The faintest and the strongest a cell is painted. */
const FAINT = 0.06;
const STRONG = 0.72;
/** Figures are written in about this many cells across, so that the map is read without its colour. */
const WRITTEN = 5;

export interface MapLook {
  readonly ink: string;
  readonly text: string;
  readonly paper: string;
  /** How a value is written. */
  readonly figure: (mm: number) => string;
}

/** The least and the greatest value of a map, mm. */
export function rangeOf({ U }: Pick<UncertaintyMap, "U">): { readonly low: number; readonly high: number } {
  return U.reduce((r, v) => ({ low: Math.min(r.low, v), high: Math.max(r.high, v) }), { low: Infinity, high: -Infinity });
}

/** Paints a map below the lines: the worse, the stronger. A map that is even to 1 % is painted even. */
export function drawMap(g: CanvasRenderingContext2D, plot: Plot, map: UncertaintyMap, { ink, text, paper, figure }: MapLook): void {
  const { low, high } = rangeOf(map);
  const span = high - low > 0.01 * high ? high - low : Infinity;
  const [w, h] = [map.width * plot.scale, map.height * plot.scale];
  g.fillStyle = ink;
  map.U.forEach((value, k) => {
    g.globalAlpha = FAINT + (STRONG - FAINT) * Math.min(1, (value - low) / span);
    const [column, row] = [k % map.columns, Math.floor(k / map.columns)];
    // A hair wider than the cell, so that no seams show.
    g.fillRect(plot.x(column * map.width), plot.y((row + 1) * map.height), w + 0.6, h + 0.6);
  });
  g.globalAlpha = 1;
  g.font = "600 13px system-ui, sans-serif";
  g.textAlign = "center";
  const step = Math.max(1, Math.round(map.columns / WRITTEN));
  for (let row = step >> 1; row < map.rows; row += step) {
    for (let column = step >> 1; column < map.columns; column += step) {
      const value = figure(map.U[row * map.columns + column]);
      const [x, y] = [plot.x((column + 0.5) * map.width), plot.y((row + 0.5) * map.height)];
      const width = g.measureText(value).width + 6;
      g.globalAlpha = 0.8;
      g.fillStyle = paper;
      g.fillRect(x - width / 2, y - 9, width, 18);
      g.globalAlpha = 1;
      g.fillStyle = text;
      g.fillText(value, x, y + 5);
    }
  }
  g.textAlign = "start";
}
