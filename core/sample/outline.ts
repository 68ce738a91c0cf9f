import { moved, type Box } from "./box.ts";
import { tones } from "./colour.ts";
import type { CutShape } from "./cutShape.ts";
import { step } from "./gaussianStep.ts";
import { softnessAlong } from "./ink.ts";
import { noiseField } from "./noiseField.ts";
import { newPlaces, type PathField, type Side } from "./pathField.ts";
import type { Random } from "./random.ts";
import type { Scene } from "./scene.ts";
import { TILE, type Tile } from "./tile.ts";

/** What bounds the board: on it a tile shows no table, beside it nothing else. */
export interface Outline {
  where(tile: Tile): "on" | "beside" | "across";
  paint(tile: Tile): void;
}

/**
 * Where the board ends: its own cut edge (a wall as deep as the board is thick, seen when the camera leans) and the table
 * below with the board's shade on it. `sheet` bounds the board in board coordinates.
 */
export function outlinePainter(scene: Scene, shape: CutShape, sheet: PathField, random: Random, toCut: (x: number, y: number) => { x: number; y: number }): Outline {
  const grain = noiseField(random);
  const { board, table } = scene;
  /** From a point towards the light, as far as the board's shade falls. */
  const sun = { x: Math.cos(scene.light.from) * table.shade, y: Math.sin(scene.light.from) * table.shade };
  const softShade = Math.max(0.3, table.shade) / 2;
  const material = materialOf(shape, sheet);
  const numbers = (): Float64Array => new Float64Array(TILE.pixels);
  const [top, wall, shade, tone, streak] = [numbers(), numbers(), numbers(), numbers(), numbers()];
  const here: Spots = { count: 0, X: numbers(), Y: numbers(), cx: numbers(), cy: numbers() };
  const pixel = new Int32Array(TILE.pixels);

  return {
    where(tile) {
      const side = material.side(tile.box.board, tile.box.cut);
      return side === "inside" ? "on" : side === "outside" ? "beside" : "across";
    },
    paint(tile) {
      const { channels, soft, under } = tile;
      const along = (nx: number, ny: number): number => softnessAlong(soft, nx, ny);
      material.share(tile, tile.box, 0, 0, 0, 0, along, top);
      here.count = 0;
      for (let i = 0; i < tile.count; i++) {
        if (top[i] > 1 - 1e-6) continue;
        const n = here.count++;
        here.X[n] = tile.X[i];
        here.Y[n] = tile.Y[i];
        here.cx[n] = tile.cx[i];
        here.cy[n] = tile.cy[i];
        pixel[n] = i;
      }
      const [at, below] = [toCut(tile.X[0], tile.Y[0]), toCut(tile.X[0] + under.x, tile.Y[0] + under.y)];
      material.share(here, tile.box, under.x, under.y, below.x - at.x, below.y - at.y, along, wall);
      material.share(here, tile.box, sun.x, sun.y, sun.x, sun.y, () => softShade, shade);
      tone.fill(1, 0, here.count);
      grain.add(tone, 0.6 * table.grain, [0.7, 0, 0, 0, 2.3, 0], here.X, here.Y, here.count);
      grain.add(tone, 0.5 * table.grain, [0.03, 0, 0, 0, 0.25, 0], here.X, here.Y, here.count);
      streak.fill(1, 0, here.count);
      if (some(wall, here.count)) grain.add(streak, 0.12, [1.5, 0, 40, 0, 1.5, 0], here.X, here.Y, here.count);
      const edge = tones(board.edge, channels);
      const ground = tones(table.colour, channels);
      for (let k = 0; k < channels; k++) {
        const light = tile.light[k];
        for (let n = 0; n < here.count; n++) {
          const i = pixel[n];
          const side = Math.max(0, wall[n] - top[i]);
          const floor = Math.max(0.1, (1 - table.shadeDepth * shade[n]) * tone[n]);
          const seen = side * streak[n] * edge[k] + (1 - top[i] - side) * ground[k] * floor;
          light[i] = top[i] > 0 ? top[i] * light[i] + seen : seen;
        }
      }
    },
  };
}

/** Whether any of the first values is above 0. */
function some(values: Float64Array, count: number): boolean {
  for (let i = 0; i < count; i++) if (values[i] > 0) return true;
  return false;
}

/** Places on the board and in the cut. */
interface Spots {
  count: number;
  readonly X: Float64Array;
  readonly Y: Float64Array;
  readonly cx: Float64Array;
  readonly cy: Float64Array;
}

interface Material {
  side(board: Box, cut: Box): Side;
  /**
   * The share of material at places within a box after they have moved by (dx, dy) on the board and (dcx, dcy) in the cut, its edge blurred by
   * a Gaussian whose standard deviation `blur` gives, mm, along a unit direction.
   */
  share(spots: Spots, box: Tile["box"], dx: number, dy: number, dcx: number, dcy: number, blur: (nx: number, ny: number) => number, out: Float64Array): void;
}

/** The material that is left: the sheet or its pieces, less what has fallen out of it. Board and cut coordinates differ by parts in a thousand. */
function materialOf({ pieces, holes }: CutShape, sheet: PathField): Material {
  const [best, places] = [newPlaces(TILE.pixels), newPlaces(TILE.pixels)];
  const [x, y] = [new Float64Array(TILE.pixels), new Float64Array(TILE.pixels)];
  /** Where one outline lies deeper (a piece) or shallower (a hole) than those before it, its place is taken. */
  const take = (field: PathField, sign: 1 | -1, count: number): void => {
    field.nearest(x, y, count, places);
    for (let i = 0; i < count; i++) {
      const d = sign * places.d[i];
      if (sign > 0 ? d <= best.d[i] : d >= best.d[i]) continue;
      best.d[i] = d;
      best.nx[i] = places.nx[i];
      best.ny[i] = places.ny[i];
    }
  };
  const move = (xs: Float64Array, ys: Float64Array, dx: number, dy: number, count: number): void => {
    for (let i = 0; i < count; i++) {
      x[i] = xs[i] + dx;
      y[i] = ys[i] + dy;
    }
  };
  const side = (board: Box, cut: Box): Side => {
    const sides = pieces.length > 0 ? pieces.map((p) => p.side(cut)) : [sheet.side(board)];
    if (sides.every((s) => s === "outside")) return "outside";
    const gone = holes.map((h) => h.side(cut));
    if (gone.includes("inside")) return "outside";
    return sides.includes("inside") && !gone.includes("near") ? "inside" : "near";
  };
  return {
    side,
    share(spots, box, dx, dy, dcx, dcy, blur, out) {
      const { count } = spots;
      const [board, cut] = [moved(box.board, dx, dy), moved(box.cut, dcx, dcy)];
      const all = side(board, cut);
      if (all !== "near") {
        out.fill(all === "inside" ? 1 : 0, 0, count);
        return;
      }
      best.d.fill(-Infinity, 0, count);
      if (pieces.length === 0) {
        move(spots.X, spots.Y, dx, dy, count);
        take(sheet, 1, count);
      }
      move(spots.cx, spots.cy, dcx, dcy, count);
      for (const piece of pieces) if (piece.side(cut) !== "outside") take(piece, 1, count);
      for (const hole of holes) if (hole.side(cut) !== "outside") take(hole, -1, count);
      for (let i = 0; i < count; i++) out[i] = Math.abs(best.d[i]) === Infinity ? Number(best.d[i] > 0) : step(best.d[i] / blur(best.nx[i], best.ny[i]));
    },
  };
}
