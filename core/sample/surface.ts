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
  const tone = new Float64Array(3);
  const place: NearestPlace = { d: 0, s: 0, nx: 0, ny: 0 };
  for (let i = 0; i < count; i++) {
    if (shape.kind !== "panel" && (Math.abs(x[i] - shape.x) > far || Math.abs(y[i] - shape.y) > far)) continue;
    const grow = ink.rough > 0 ? ink.gain + ink.rough * ragged(x[i] * 4, y[i] * 4) : ink.gain;
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
  inks.forEach(({ shape, gain }, index) => {
    const whole = shape.kind === "panel";
    const r = whole ? 0 : extent(shape) + gain + 3;
    const [c0, c1] = whole ? [0, columns - 1] : [column(shape.x - r), column(shape.x + r)];
    const [r0, r1] = whole ? [0, rows - 1] : [row(shape.y - r), row(shape.y + r)];
    for (let j = r0; j <= r1; j++) for (let i = c0; i <= c1; i++) bins[j * columns + i].push(index);
  });
  return ({ box }) => {
    const found = new Set<number>();
    for (let j = row(box.y0); j <= row(box.y1); j++) {
      for (let i = column(box.x0); i <= column(box.x1); i++) for (const index of bins[j * columns + i]) found.add(index);
    }
    return [...found].sort((a, b) => a - b);
  };
}
