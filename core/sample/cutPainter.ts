import type { CutShape } from "./cutShape.ts";
import { step } from "./gaussianStep.ts";
import { softnessAlong } from "./ink.ts";
import { noiseField, type NoiseField } from "./noiseField.ts";
import type { NearestPlace, PathField } from "./pathField.ts";
import type { Random } from "./random.ts";
import type { CuttingLook } from "./scene.ts";
import type { Tile } from "./tile.ts";

/**
 * Draws slits and creases into the board. A slit is a dark band of uneven width, a lip beside it that catches the light
 * and a shade on the other side; a crease is a shallow valley whose slopes face the light or turn from it.
 */
export function cutPainter(shape: CutShape, look: CuttingLook, lightFrom: number, random: Random): (tile: Tile) => void {
  const along = noiseField(random);
  const light = { x: Math.cos(lightFrom), y: Math.sin(lightFrom) };
  return (tile) => shape.lines.forEach((field, index) => drawLine(field, index, tile, look, light, along));
}

function drawLine(field: PathField, index: number, tile: Tile, look: CuttingLook, light: { x: number; y: number }, along: NoiseField): void {
  const { count, cx, cy, box } = tile;
  const slack = 5;
  if (box.x1 < field.box.x0 - slack || box.x0 > field.box.x1 + slack || box.y1 < field.box.y0 - slack || box.y0 > field.box.y1 + slack) return;
  const place: NearestPlace = { d: 0, s: 0, nx: 0, ny: 0 };
  const draw = field.kind === "crease" ? crease : slit;
  for (let i = 0; i < count; i++) if (field.at(cx[i], cy[i], place)) draw(place, index * 17.3, i, tile, look, light, along);
}

type Stroke = (p: NearestPlace, row: number, i: number, tile: Tile, look: CuttingLook, light: { x: number; y: number }, along: NoiseField) => void;

const slit: Stroke = (p, row, i, tile, look, light, along) => {
  const sigma = softnessAlong(tile.soft, p.nx, p.ny);
  const reach = look.slit + look.lip + 4 * Math.max(sigma, look.shade);
  if (Math.abs(p.d) > reach) return;
  const nicks = look.nicks;
  if (nicks && (p.s + row) % nicks.every < nicks.length) return;
  const d = p.d - look.wander * along(p.s / 3, row);
  const half = (look.slit / 2) * Math.max(0.3, 1 + look.unevenness * (0.7 * along(p.s / 1.1, row + 5) + 0.7 * along(p.s / 0.35, row + 9)));
  const dark = step((d + half) / sigma) - step((d - half) / sigma);
  // +1: the lip lies on the side where d grows (the inside); facing the light, the raised edge is the one that the light meets.
  const facing = look.lipInside - (1 - look.lipInside) * (p.nx * light.x + p.ny * light.y);
  const side = facing >= 0 ? 1 : -1;
  const t = d * side;
  const lip = (step((t - half) / sigma) - step((t - half - look.lip) / sigma)) * Math.abs(facing) * Math.max(0, 1 + 0.5 * along(p.s / 0.8, row + 13));
  const shade = t < 0 ? Math.abs(facing) * look.shadeDepth * Math.exp(-0.5 * (t / look.shade) ** 2) * (1 - dark) : 0;
  for (let k = 0; k < tile.channels; k++) {
    const v = tile.light[k][i] * (1 - shade);
    tile.light[k][i] = v + dark * (look.depthLight * tile.bare[k][i] - v) + lip * look.lipLight * tile.bare[k][i];
  }
};

const crease: Stroke = (p, row, i, tile, look, light, along) => {
  const { width, depth, slope } = look.crease;
  const sigma = Math.hypot(width, softnessAlong(tile.soft, p.nx, p.ny));
  const z = p.d / sigma;
  if (Math.abs(z) > 4) return;
  const valley = Math.exp(-0.5 * z * z) * (width / sigma);
  const facing = p.nx * light.x + p.ny * light.y;
  const factor = 1 - valley * (depth * (1 + 0.15 * along(p.s / 2, row)) - slope * facing * z);
  for (let k = 0; k < tile.channels; k++) tile.light[k][i] *= factor;
};
