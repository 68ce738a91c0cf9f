import type { UncertaintyMap } from "../../../core/design/predict.ts";
import type { Plot } from "../canvas/drawSheet.ts";

/** The faintest and the strongest a cell is painted, of 255. */
const FAINT = 12;
const STRONG = 185;
/** The ramp spans at least this share of the worst value, so that a map that is nearly even looks it. */
const LEAST_SPAN = 0.25;
/** Figures are written in about this many cells across, so that the map is read without its colour. */
const WRITTEN = 4;

export interface MapLook {
  /** #rrggbb */
  readonly ink: string;
  readonly text: string;
  readonly paper: string;
  /** Size of the figures, px. */
  readonly small: number;
  /** How a value is written. */
  readonly figure: (mm: number) => string;
}

/** The values at the ends of the ramp, and whether the map is all but even. mm. */
export function rampOf({ U }: Pick<UncertaintyMap, "U">): { readonly low: number; readonly high: number; readonly even: boolean } {
  const [low, worst] = U.reduce(([a, b], v) => [Math.min(a, v), Math.max(b, v)], [Infinity, -Infinity]);
  return { low, high: low + Math.max(worst - low, LEAST_SPAN * worst), even: worst - low < 0.02 * worst };
}

const pictures = new WeakMap<UncertaintyMap, { readonly ink: string; readonly canvas: HTMLCanvasElement }>();

/** The map as a picture of a pixel a cell, upright. */
function pictureOf(map: UncertaintyMap, ink: string): HTMLCanvasElement {
  const known = pictures.get(map);
  if (known?.ink === ink) return known.canvas;
  const canvas = document.createElement("canvas");
  canvas.width = map.columns;
  canvas.height = map.rows;
  const { low, high } = rampOf(map);
  const [r, g, b] = [1, 3, 5].map((i) => Number.parseInt(ink.slice(i, i + 2), 16));
  const image = new ImageData(map.columns, map.rows);
  map.U.forEach((value, k) => {
    const row = map.rows - 1 - Math.floor(k / map.columns);
    image.data.set([r, g, b, FAINT + ((STRONG - FAINT) * (value - low)) / (high - low)], 4 * (row * map.columns + (k % map.columns)));
  });
  canvas.getContext("2d")?.putImageData(image, 0, 0);
  pictures.set(map, { ink, canvas });
  return canvas;
}

/** Paints a map below the lines, the worse the stronger, with figures here and there. */
export function drawMap(g: CanvasRenderingContext2D, plot: Plot, map: UncertaintyMap, { ink, text, paper, small, figure }: MapLook): void {
  const [width, height] = [map.columns * map.width, map.rows * map.height];
  g.imageSmoothingEnabled = true;
  g.drawImage(pictureOf(map, ink), plot.x(0), plot.y(height), width * plot.scale, height * plot.scale);
  g.font = `600 ${small}px system-ui, sans-serif`;
  g.textAlign = "center";
  const step = Math.max(1, Math.round(map.columns / WRITTEN));
  for (let row = step >> 1; row < map.rows; row += step) {
    for (let column = step >> 1; column < map.columns; column += step) {
      const value = figure(map.U[row * map.columns + column]);
      const [x, y] = [plot.x((column + 0.5) * map.width), plot.y((row + 0.5) * map.height)];
      const half = g.measureText(value).width / 2 + 3;
      g.globalAlpha = 0.8;
      g.fillStyle = paper;
      g.fillRect(x - half, y - 0.7 * small, 2 * half, 1.4 * small);
      g.globalAlpha = 1;
      g.fillStyle = text;
      g.fillText(value, x, y + 0.38 * small);
    }
  }
  g.textAlign = "start";
}
