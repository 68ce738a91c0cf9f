import type { CutShape } from "./cutShape.ts";
import { step } from "./gaussianStep.ts";
import { softnessAlong } from "./ink.ts";
import { noiseField, type NoiseField } from "./noiseField.ts";
import { newPlaces, type NearestPlaces } from "./pathField.ts";
import type { Random } from "./random.ts";
import { DRAWN_BLUR, type CuttingLook } from "./scene.ts";
import { TILE, type Tile } from "./tile.ts";

/** How far from its path a slit or a crease is still drawn, mm, where no pixel spans more than `pitch` mm. */
export function reachOfCuts(look: CuttingLook, pitch: number): number {
  const sigma = 1.1 * DRAWN_BLUR * pitch;
  return Math.max(look.slit + look.lip + 4 * Math.max(sigma, look.shade), 4 * Math.hypot(look.crease.width, sigma));
}

/**
 * Draws slits and creases into the board. A slit is a dark band of uneven width, a lip beside it that catches the light
 * and a shade on the board on the other side; a crease is a shallow valley whose slopes face the light or turn from it.
 */
export function cutPainter(shape: CutShape, look: CuttingLook, lightFrom: number, random: Random): (tile: Tile) => void {
  const along = noiseField(random);
  const light = { x: Math.cos(lightFrom), y: Math.sin(lightFrom) };
  const places = newPlaces(TILE.pixels);
  const pen = newPen();
  return (tile) => {
    shape.lines.forEach((field, index) => {
      if (field.side(tile.box.cut) !== "near") return;
      field.nearest(tile.cx, tile.cy, tile.count, places);
      gather(tile, places, look, field.kind, index * 17.3, pen);
      if (pen.count > 0) (field.kind === "crease" ? crease : slit)(pen, index * 17.3, tile, look, light, along);
    });
  };
}

/** The pixels that a line touches: which of the tile's, their place on the line, the drawing's blur across it, and room for noise along it. */
interface Pen extends NearestPlaces {
  count: number;
  readonly pixel: Int32Array;
  readonly sigma: Float64Array;
  readonly noise: readonly [Float64Array, Float64Array, Float64Array];
}

function newPen(): Pen {
  const numbers = (): Float64Array => new Float64Array(TILE.pixels);
  return { ...newPlaces(TILE.pixels), count: 0, pixel: new Int32Array(TILE.pixels), sigma: numbers(), noise: [numbers(), numbers(), numbers()] };
}

function gather(tile: Tile, places: NearestPlaces, look: CuttingLook, kind: "cut" | "crease", row: number, pen: Pen): void {
  pen.count = 0;
  for (let i = 0; i < tile.count; i++) {
    const d = Math.abs(places.d[i]);
    if (d === Infinity) continue;
    const sigma = softnessAlong(tile.soft, places.nx[i], places.ny[i]);
    if (d > (kind === "crease" ? 4 * Math.hypot(look.crease.width, sigma) : look.slit + look.lip + 4 * Math.max(sigma, look.shade))) continue;
    if (kind === "cut" && look.nicks && (places.s[i] + row) % look.nicks.every < look.nicks.length) continue;
    const n = pen.count++;
    pen.pixel[n] = i;
    pen.sigma[n] = sigma;
    pen.d[n] = places.d[i];
    pen.s[n] = places.s[i];
    pen.nx[n] = places.nx[i];
    pen.ny[n] = places.ny[i];
  }
}

type Stroke = (pen: Pen, row: number, tile: Tile, look: CuttingLook, light: { x: number; y: number }, along: NoiseField) => void;

/** Fills `out` with noise along the line whose features are `size` mm long. */
function noiseAlong(along: NoiseField, pen: Pen, out: Float64Array, row: number, ...octaves: readonly (readonly [weight: number, size: number, row: number])[]): void {
  out.fill(0, 0, pen.count);
  for (const [weight, size, shift] of octaves) along.add(out, weight, [1 / size, 0, 0, 0, 0, row + shift], pen.s, pen.s, pen.count);
}

const slit: Stroke = (pen, row, tile, look, light, along) => {
  const [wander, width, bright] = pen.noise;
  noiseAlong(along, pen, wander, row, [look.wander, 3, 0]);
  noiseAlong(along, pen, width, row, [0.7 * look.unevenness, 1.1, 5], [0.7 * look.unevenness, 0.35, 9]);
  noiseAlong(along, pen, bright, row, [0.5, 0.8, 13]);
  for (let n = 0; n < pen.count; n++) {
    const i = pen.pixel[n];
    const sigma = pen.sigma[n];
    const d = pen.d[n] - wander[n];
    const half = (look.slit / 2) * Math.max(0.3, 1 + width[n]);
    const dark = step((d + half) / sigma) - step((d - half) / sigma);
    // +1: the lip lies on the side where d grows (the inside); facing the light, the raised edge is the one that the light meets.
    const facing = look.lipInside - (1 - look.lipInside) * (pen.nx[n] * light.x + pen.ny[n] * light.y);
    const t = facing >= 0 ? d : -d;
    const lip = (step((t - half) / sigma) - step((t - half - look.lip) / sigma)) * Math.abs(facing) * Math.max(0, 1 + bright[n]);
    const shade = Math.abs(facing) * look.shadeDepth * shadeBeyond(half, look.shade, sigma, t);
    for (let k = 0; k < tile.channels; k++) {
      tile.light[k][i] = tile.light[k][i] * (1 - dark - shade) + (dark * look.depthLight + lip * look.lipLight) * tile.bare[k][i];
    }
  }
};

/**
 * exp(-t^2 / 2 reach^2) where t < -half, nothing elsewhere, blurred by a Gaussian of `sigma`: the board is shaded, the slit is not. Where the blur is wider than the slit, a shade multiplied
 * by what the blurred slit leaves would reach into it, and draw the line aside.
 */
function shadeBeyond(half: number, reach: number, sigma: number, t: number): number {
  const variance = reach * reach + sigma * sigma;
  return (reach / Math.sqrt(variance)) * Math.exp((-0.5 * t * t) / variance) * step((-half * variance - t * reach * reach) / (reach * sigma * Math.sqrt(variance)));
}

const crease: Stroke = (pen, row, tile, look, light, along) => {
  const { width, depth, slope } = look.crease;
  const [uneven] = pen.noise;
  noiseAlong(along, pen, uneven, row, [0.15, 2, 0]);
  for (let n = 0; n < pen.count; n++) {
    const sigma = Math.hypot(width, pen.sigma[n]);
    const z = pen.d[n] / sigma;
    const valley = Math.exp(-0.5 * z * z) * (width / sigma);
    const facing = pen.nx[n] * light.x + pen.ny[n] * light.y;
    const factor = 1 - valley * (depth * (1 + uneven[n]) - slope * facing * z);
    for (let k = 0; k < tile.channels; k++) tile.light[k][pen.pixel[n]] *= factor;
  }
};
