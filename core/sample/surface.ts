import { luminance, tones } from "./colour.ts";
import { coverage, extent, softnessAlong, type Ink, type Softness } from "./ink.ts";
import { noiseField, type NoiseField } from "./noiseField.ts";
import { step } from "./gaussianStep.ts";
import type { NearestPlace } from "./pathField.ts";
import type { Random } from "./random.ts";
import type { BoardLook } from "./scene.ts";
import type { Tile } from "./tile.ts";

/** Bare board: colour with fibres along two directions and darker flecks. */
export function boardPainter(look: BoardLook, random: Random): (tile: Tile) => void {
  const field = noiseField(random);
  const lean = random.between(0, Math.PI);
  const [c, s] = [Math.cos(lean), Math.sin(lean)];
  return ({ count, X, Y, light, channels }) => {
    const base = tones(look.colour, channels);
    for (let i = 0; i < count; i++) {
      let factor = 1;
      if (look.fibre > 0) {
        const a = c * X[i] + s * Y[i];
        const b = c * Y[i] - s * X[i];
        factor += look.fibre * (0.5 * field(a * 0.9, b * 5) + 0.35 * field(b * 1.1 + 77, a * 4) + 0.3 * field(X[i] * 0.05, Y[i] * 0.05));
        if (look.fleck > 0) factor -= look.fleck * Math.max(0, field(a * 1.7 + 31, b * 3.1) - 2);
      }
      for (let k = 0; k < channels; k++) light[k][i] = base[k] * Math.max(0.2, factor);
    }
  };
}

/** Prints inks over the board. Shapes are binned by place, panels are met everywhere. */
export function printer(inks: readonly Ink[], size: { width: number; height: number }, random: Random): (tile: Tile) => void {
  const ragged = noiseField(random);
  const bins = binned(inks, size);
  return (tile) => {
    for (const index of bins(tile)) lay(inks[index], tile, ragged);
  };
}

function lay(ink: Ink, tile: Tile, ragged: NoiseField): void {
  const { count, x, y, soft, light, channels } = tile;
  const { shape } = ink;
  const far = extent(shape) + ink.gain + 0.5 + 4 * Math.sqrt(Math.max(soft.xx, soft.yy));
  const bounds = shape.kind === "panel" && shape.fields.length === 1 ? shape.fields[0].box : null;
  const tone = new Float64Array(3);
  const place: NearestPlace = { d: 0, s: 0, nx: 0, ny: 0 };
  for (let i = 0; i < count; i++) {
    if (shape.kind !== "panel" && (Math.abs(x[i] - shape.x) > far || Math.abs(y[i] - shape.y) > far)) continue;
    if (bounds && (x[i] < bounds.x0 || x[i] > bounds.x1 || y[i] < bounds.y0 || y[i] > bounds.y1)) continue;
    const grow = ink.rough > 0 && shape.kind !== "panel" ? ink.gain + ink.rough * ragged(x[i] * 4, y[i] * 4) : ink.gain;
    const a = shape.kind === "panel" ? panel(shape, soft, grow, x[i], y[i], place) : coverage(shape, soft, grow, x[i], y[i]);
    if (a < 1e-5) continue;
    if (ink.tone) ink.tone(x[i], y[i], tone);
    else tone.set(ink.colour);
    if (channels === 1) tone[0] = luminance([tone[0], tone[1], tone[2]]);
    for (let k = 0; k < channels; k++) {
      const below = light[k][i];
      const covered = ink.lay === "over" ? below * tone[k] : ink.lay === "opaque" ? tone[k] : tile.bare[k][i];
      light[k][i] = below + a * (covered - below);
    }
  }
}

/** Union of outlines grown by the bleed. */
function panel(shape: Extract<Ink["shape"], { kind: "panel" }>, soft: Softness, grow: number, x: number, y: number, place: NearestPlace): number {
  let best = 0;
  for (const field of shape.fields) {
    const near = field.at(x, y, place);
    const a = near ? step((place.d + shape.grow + grow) / softnessAlong(soft, place.nx, place.ny)) : place.d > 0 ? 1 : 0;
    if (a > best) best = a;
  }
  return best;
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
    for (let j = row(box.y0); j <= row(box.y1); j++) {
      for (let i = column(box.x0); i <= column(box.x1); i++) for (const index of bins[j * columns + i]) found.add(index);
    }
    return [...found].sort((a, b) => a - b);
  };
}
