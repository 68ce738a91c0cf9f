import { luminanceOf, tones } from "./colour.ts";
import { coverage, extent, softnessAlong, type Ink, type InkShape } from "./ink.ts";
import { noiseField, type NoiseField } from "./noiseField.ts";
import { step } from "./gaussianStep.ts";
import { newPlaces } from "./pathField.ts";
import type { Random } from "./random.ts";
import type { BoardLook } from "./scene.ts";
import { TILE, type Tile } from "./tile.ts";

/** Bare board: colour with fibres along two directions and darker flecks. */
export function boardPainter(look: BoardLook, random: Random): (tile: Tile) => void {
  const field = noiseField(random);
  const lean = random.between(0, Math.PI);
  const [c, s] = [Math.cos(lean), Math.sin(lean)];
  const [factor, fleck] = [new Float64Array(TILE.pixels), new Float64Array(TILE.pixels)];
  return ({ count, X, Y, light, channels }) => {
    const base = tones(look.colour, channels);
    factor.fill(1, 0, count);
    if (look.fibre > 0) {
      field.add(factor, 0.5 * look.fibre, [0.9 * c, 0.9 * s, 0, -5 * s, 5 * c, 0], X, Y, count);
      field.add(factor, 0.35 * look.fibre, [-1.1 * s, 1.1 * c, 77, 4 * c, 4 * s, 0], X, Y, count);
      field.add(factor, 0.3 * look.fibre, [0.05, 0, 0, 0, 0.05, 0], X, Y, count);
    }
    if (look.fibre > 0 && look.fleck > 0) {
      fleck.fill(-2, 0, count);
      field.add(fleck, 1, [1.7 * c, 1.7 * s, 31, -3.1 * s, 3.1 * c, 0], X, Y, count);
      for (let i = 0; i < count; i++) if (fleck[i] > 0) factor[i] -= look.fleck * fleck[i];
    }
    for (let i = 0; i < count; i++) if (factor[i] < 0.2) factor[i] = 0.2;
    for (let k = 0; k < channels; k++) {
      const plane = light[k];
      for (let i = 0; i < count; i++) plane[i] = base[k] * factor[i];
    }
  };
}

/** Prints inks over the board. Inks are binned by place. */
export function printer(inks: readonly Ink[], size: { width: number; height: number }, random: Random): (tile: Tile) => void {
  const ragged = noiseField(random);
  const bins = binned(inks, size);
  const layPanel = panelPrinter();
  return (tile) => {
    for (const index of bins(tile)) {
      const ink = inks[index];
      if (ink.shape.kind === "panel") layPanel(ink, ink.shape, tile);
      else layShape(ink, ink.shape, tile, ragged);
    }
  };
}

function layShape(ink: Ink, shape: Exclude<InkShape, { kind: "panel" }>, tile: Tile, ragged: NoiseField): void {
  const { count, x, y, soft, channels } = tile;
  const { print } = tile.box;
  const far = extent(shape) + ink.gain + 0.5 + 4 * Math.sqrt(Math.max(soft.xx, soft.yy));
  const [x0, x1, y0, y1] = [shape.x - far, shape.x + far, shape.y - far, shape.y + far];
  if (print.x1 < x0 || print.x0 > x1 || print.y1 < y0 || print.y0 > y1) return;
  const tone = tones(ink.colour, channels);
  for (let i = 0; i < count; i++) {
    if (x[i] < x0 || x[i] > x1 || y[i] < y0 || y[i] > y1) continue;
    const grow = ink.rough > 0 ? ink.gain + ink.rough * ragged.at(x[i] * 4, y[i] * 4) : ink.gain;
    const share = coverage(shape, soft, grow, x[i], y[i]);
    if (share < 1e-5) continue;
    for (let k = 0; k < channels; k++) lay(ink.lay, tile.light[k], tile.bare[k], i, share, tone[k]);
  }
}

/** Lays unions of outlines, grown by the bleed and filled with a varying tone. */
function panelPrinter(): (ink: Ink, shape: Extract<InkShape, { kind: "panel" }>, tile: Tile) => void {
  const numbers = (): Float64Array => new Float64Array(TILE.pixels);
  const [share, px, py] = [numbers(), numbers(), numbers()];
  const colour = [numbers(), numbers(), numbers()] as const;
  const covered = new Int32Array(TILE.pixels);
  const places = newPlaces(TILE.pixels);

  return (ink, shape, tile) => {
    const { count, x, y, soft, channels } = tile;
    const grow = shape.grow + ink.gain;
    const sides = shape.fields.map((field) => field.side(tile.box.print));
    if (sides.every((side) => side === "outside")) return;
    const whole = sides.includes("inside");
    share.fill(whole ? 1 : 0, 0, count);
    if (!whole) {
      for (const field of shape.fields.filter((_, f) => sides[f] === "near")) {
        field.nearest(x, y, count, places);
        for (let i = 0; i < count; i++) {
          const here = step((places.d[i] + grow) / softnessAlong(soft, places.nx[i], places.ny[i]));
          if (here > share[i]) share[i] = here;
        }
      }
    }
    let n = 0;
    for (let i = 0; i < count; i++) {
      if (share[i] < 1e-5) continue;
      px[n] = x[i];
      py[n] = y[i];
      covered[n++] = i;
    }
    if (ink.tone) ink.tone(px, py, n, colour);
    else colour.forEach((plane, k) => plane.fill(ink.colour[k], 0, n));
    if (channels === 1) for (let j = 0; j < n; j++) colour[0][j] = luminanceOf([colour[0][j], colour[1][j], colour[2][j]]);
    for (let k = 0; k < channels; k++) {
      const [light, bare, tone] = [tile.light[k], tile.bare[k], colour[k]];
      for (let j = 0; j < n; j++) lay(ink.lay, light, bare, covered[j], share[covered[j]], tone[j]);
    }
  };
}

/** Lays ink on pixel i of one channel: `share` of it is covered. */
function lay(how: Ink["lay"], light: Float32Array, bare: Float32Array, i: number, share: number, tone: number): void {
  const below = light[i];
  const covered = how === "over" ? below * tone : how === "opaque" ? tone : bare[i];
  light[i] = below + share * (covered - below);
}

/** Which inks can reach a tile, in printing order. */
function binned(inks: readonly Ink[], size: { width: number; height: number }): (tile: Tile) => number[] {
  const cell = 16;
  const columns = Math.ceil(size.width / cell) + 2;
  const rows = Math.ceil(size.height / cell) + 2;
  const column = (v: number): number => Math.max(0, Math.min(columns - 1, Math.floor(v / cell) + 1));
  const row = (v: number): number => Math.max(0, Math.min(rows - 1, Math.floor(v / cell) + 1));
  const bins: number[][] = Array.from({ length: columns * rows }, () => []);
  const enter = (index: number, x0: number, y0: number, x1: number, y1: number): void => {
    for (let j = row(y0); j <= row(y1); j++) for (let i = column(x0); i <= column(x1); i++) bins[j * columns + i].push(index);
  };
  inks.forEach(({ shape, gain }, index) => {
    if (shape.kind === "panel") return shape.fields.forEach(({ box: b }) => enter(index, b.x0, b.y0, b.x1, b.y1));
    const r = extent(shape) + gain + 3;
    return enter(index, shape.x - r, shape.y - r, shape.x + r, shape.y + r);
  });
  return ({ box }) => {
    const found = new Set<number>();
    for (let j = row(box.print.y0); j <= row(box.print.y1); j++) {
      for (let i = column(box.print.x0); i <= column(box.print.x1); i++) for (const index of bins[j * columns + i]) found.add(index);
    }
    return [...found].sort((a, b) => a - b);
  };
}
