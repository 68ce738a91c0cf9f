import type { CutShape } from "./cutShape.ts";
import { tones } from "./colour.ts";
import { step } from "./gaussianStep.ts";
import { softnessAlong } from "./ink.ts";
import { noiseField } from "./noiseField.ts";
import type { NearestPlace, PathField } from "./pathField.ts";
import type { Random } from "./random.ts";
import type { Scene } from "./scene.ts";
import type { Tile } from "./tile.ts";

/**
 * Where the board ends: its own cut edge (a wall as deep as the board is thick, seen when the camera leans) and the table
 * below with the board's shade on it. `sheet` bounds the board in board coordinates.
 */
export function outlinePainter(scene: Scene, shape: CutShape, sheet: PathField, random: Random, toCut: (x: number, y: number) => { x: number; y: number }): (tile: Tile) => void {
  const grain = noiseField(random);
  const { board, table } = scene;
  const away = { x: -Math.cos(scene.light.from), y: -Math.sin(scene.light.from) };
  const place: NearestPlace = { d: 0, s: 0, nx: 0, ny: 0 };
  /** Signed distance into the material (mm; board and cut coordinates differ by parts in a thousand) and its direction in `place`. */
  const depth = (X: number, Y: number, cx: number, cy: number): number => {
    let d = -Infinity, nx = 1, ny = 0;
    const take = (field: PathField, sign: number, x: number, y: number, more: boolean): void => {
      field.at(x, y, place);
      const here = sign * place.d;
      if (more ? here > d : here < d) [d, nx, ny] = [here, place.nx, place.ny];
    };
    if (shape.pieces.length === 0) take(sheet, 1, X, Y, true);
    else for (const piece of shape.pieces) take(piece, 1, cx, cy, true);
    if (d > -5) for (const hole of shape.holes) take(hole, -1, cx, cy, false);
    place.nx = nx;
    place.ny = ny;
    return d;
  };
  const share = (d: number, tile: Tile): number => (d === Infinity ? 1 : d === -Infinity ? 0 : step(d / softnessAlong(tile.soft, place.nx, place.ny)));

  return (tile) => {
    const { count, X, Y, cx, cy, channels, light } = tile;
    const edge = tones(board.edge, channels);
    const ground = tones(table.colour, channels);
    const origin = toCut(X[0], Y[0]);
    const below = toCut(X[0] + tile.under.x, Y[0] + tile.under.y);
    const ux = below.x - origin.x;
    const uy = below.y - origin.y;
    for (let i = 0; i < count; i++) {
      const d = depth(X[i], Y[i], cx[i], cy[i]);
      const top = share(d, tile);
      if (top > 1 - 1e-6) continue;
      const under = depth(X[i] + tile.under.x, Y[i] + tile.under.y, cx[i] + ux, cy[i] + uy);
      const wall = Math.max(0, share(under, tile) - top);
      const shadeAt = depth(X[i] - away.x * table.shade, Y[i] - away.y * table.shade, cx[i] - away.x * table.shade, cy[i] - away.y * table.shade);
      const shade = 1 - table.shadeDepth * (shadeAt === Infinity ? 1 : shadeAt === -Infinity ? 0 : step((shadeAt / Math.max(0.3, table.shade)) * 2));
      const tone = shade * (1 + table.grain * (0.6 * grain(X[i] * 0.7, Y[i] * 2.3) + 0.5 * grain(X[i] * 0.03, Y[i] * 0.25)));
      const streak = 1 + 0.12 * grain(X[i] * 1.5 + 40, Y[i] * 1.5);
      for (let k = 0; k < channels; k++) {
        light[k][i] = top * light[k][i] + wall * edge[k] * streak + (1 - top - wall) * ground[k] * Math.max(0.1, tone);
      }
    }
  };
}
