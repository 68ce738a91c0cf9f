import type { Picture } from "../image/picture.ts";
import { cutPainter } from "./cutPainter.ts";
import { cutShape } from "./cutShape.ts";
import { framedArea } from "./framing.ts";
import { imagingOf, type Imaging } from "./imaging.ts";
import { inverse, inverseInto } from "./layerMap.ts";
import { lighting } from "./lighting.ts";
import { outlinePainter } from "./outline.ts";
import { pathFields } from "./pathField.ts";
import { randomOf } from "./random.ts";
import { DRAWN_BLUR, type Scene } from "./scene.ts";
import { expose } from "./sensor.ts";
import { boardPainter, printer } from "./surface.ts";
import type { Tile } from "./tile.ts";

const TILE = { width: 64, height: 32 };
/** Spacing of exactly mapped points along a row, pixels; between them a cubic through four (its error is below 1e-6 px). */
const NODE = 8;

/**
 * Draws the picture of a scene. Each pixel is carried back through the lens to the board, and from there into the print
 * and into the cut, each by its own distortion; what is seen there is laid on in linear light with edges as a Gaussian
 * of DRAWN_BLUR leaves them. The rest of the blur, the noise and the coding follow.
 */
export function drawPicture(scene: Scene): Picture {
  const random = randomOf(scene.seed);
  const { job, sensor } = scene;
  const area = framedArea(job);
  const imaging = imagingOf(scene.imaging, area);
  const { width, height } = imaging;
  const channels = sensor.channels;
  const planes = Array.from({ length: channels }, () => new Float32Array(width * height));

  const shape = scene.cutting ? cutShape(job) : { lines: [], pieces: [], holes: [] };
  const bare = boardPainter(scene.board, random.fork());
  const print = printer(scene.inks, job.sheet, random.fork());
  const cutRandom = random.fork();
  const cut = scene.cutting ? cutPainter(shape, scene.cutting, scene.light.from, cutRandom) : null;
  const { width: w, height: h } = job.sheet;
  const sheet = pathFields({ id: "sheet", kind: "cut", path: `M 0 0 H ${w} V ${h} H 0 Z` })[0];
  const end = outlinePainter(scene, shape, sheet, random.fork(), (x, y) => inverse(scene.cut, x, y));
  const lit = lighting(scene.light, area);
  const workplace = newTile(channels);

  for (let v = 0; v < height; v += TILE.height) {
    for (let u = 0; u < width; u += TILE.width) {
      const size = { width: Math.min(TILE.width, width - u), height: Math.min(TILE.height, height - v) };
      const tile = place(scene, imaging, workplace, u, v, size);
      bare(tile);
      tile.bare.forEach((plane, k) => plane.set(tile.light[k]));
      print(tile);
      cut?.(tile);
      end(tile);
      lit(tile);
      for (let k = 0; k < channels; k++) {
        for (let j = 0; j < size.height; j++) {
          planes[k].set(tile.light[k].subarray(j * size.width, (j + 1) * size.width), (v + j) * width + u);
        }
      }
    }
  }
  return expose(planes, width, height, sensor, scene.light.vignette, random.fork());
}

function newTile(channels: 1 | 3): Tile {
  const n = TILE.width * TILE.height;
  const doubles = (): Float64Array => new Float64Array(n);
  const floats = (): Float32Array[] => Array.from({ length: channels }, () => new Float32Array(n));
  return {
    count: n, X: doubles(), Y: doubles(), x: doubles(), y: doubles(), cx: doubles(), cy: doubles(), channels, bare: floats(), light: floats(),
    box: { x0: 0, y0: 0, x1: 0, y1: 0 }, soft: { xx: 1, xy: 0, yy: 1 }, under: { x: 0, y: 0 },
  };
}

/** Maps a tile's pixels to the board and into both layers, and the drawing's blur with them. */
function place(scene: Scene, imaging: Imaging, tile: Tile, u: number, v: number, size: { width: number; height: number }): Tile {
  const count = size.width * size.height;
  const { X, Y, x, y } = tile;
  const out = new Float64Array(2);
  for (let j = 0; j < size.height; j++) mapRow(imaging, u, v + j, size.width, X, Y, j * size.width, out);
  inverseInto(scene.print, X, Y, count, x, y);
  inverseInto(scene.cut, X, Y, count, tile.cx, tile.cy);

  const [mu, mv] = [u + size.width / 2, v + size.height / 2];
  const at = (du: number, dv: number, z = 0): [number, number] => {
    imaging.toBoard(mu + du, mv + dv, z, out);
    return [out[0], out[1]];
  };
  const [o, right, down, under] = [at(0, 0), at(1, 0), at(0, 1), at(0, 0, -scene.board.thickness)];
  const [a, b, c, d] = [right[0] - o[0], down[0] - o[0], right[1] - o[1], down[1] - o[1]];
  const s2 = DRAWN_BLUR * DRAWN_BLUR;
  const box = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };
  for (let i = 0; i < count; i++) {
    if (x[i] < box.x0) box.x0 = x[i];
    if (x[i] > box.x1) box.x1 = x[i];
    if (y[i] < box.y0) box.y0 = y[i];
    if (y[i] > box.y1) box.y1 = y[i];
  }
  return {
    ...tile, count, box,
    soft: { xx: s2 * (a * a + b * b), xy: s2 * (a * c + b * d), yy: s2 * (c * c + d * d) },
    under: { x: under[0] - o[0], y: under[1] - o[1] },
  };
}

function mapRow(imaging: Imaging, u: number, v: number, width: number, X: Float64Array, Y: Float64Array, start: number, out: Float64Array): void {
  const nodes = Math.ceil(width / NODE) + 3;
  const xs = new Float64Array(nodes);
  const ys = new Float64Array(nodes);
  for (let n = 0; n < nodes; n++) {
    imaging.toBoard(u + (n - 1) * NODE, v, 0, out);
    xs[n] = out[0];
    ys[n] = out[1];
  }
  for (let i = 0; i < width; i++) {
    const n = (i / NODE) | 0;
    const t = (i - n * NODE) / NODE;
    // Lagrange weights for nodes at -1, 0, 1, 2.
    const w0 = (-t * (t - 1) * (t - 2)) / 6;
    const w1 = ((t + 1) * (t - 1) * (t - 2)) / 2;
    const w2 = (-(t + 1) * t * (t - 2)) / 2;
    const w3 = ((t + 1) * t * (t - 1)) / 6;
    X[start + i] = w0 * xs[n] + w1 * xs[n + 1] + w2 * xs[n + 2] + w3 * xs[n + 3];
    Y[start + i] = w0 * ys[n] + w1 * ys[n + 1] + w2 * ys[n + 2] + w3 * ys[n + 3];
  }
}
