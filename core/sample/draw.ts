import type { Picture } from "../image/picture.ts";
import { cutPainter, reachOfCuts } from "./cutPainter.ts";
import { cutShape } from "./cutShape.ts";
import { framedArea } from "./framing.ts";
import { imagingOf } from "./imaging.ts";
import { inverse } from "./layerMap.ts";
import { lighting } from "./lighting.ts";
import { outlinePainter } from "./outline.ts";
import { pathFields } from "./pathField.ts";
import { coarsestPitch, newWorkplace, placeTile } from "./placing.ts";
import { randomOf } from "./random.ts";
import type { Scene } from "./scene.ts";
import { expose } from "./sensor.ts";
import { boardPainter, printer } from "./surface.ts";
import { TILE } from "./tile.ts";

/**
 * Draws the picture of a scene. Each pixel is carried back through the lens to the board, and from there into the print
 * and into the cut, each by its own distortion; what is seen there is laid on in linear light with edges as a Gaussian
 * of DRAWN_BLUR leaves them. The rest of the blur, the noise and the coding follow. It goes tile by tile, so that most
 * of a sheet's artwork and cuts can be passed over at once.
 */
export function drawPicture(scene: Scene): Picture {
  const random = randomOf(scene.seed);
  const { job, sensor } = scene;
  const area = framedArea(job);
  const imaging = imagingOf(scene.imaging, area);
  const { width, height } = imaging;
  const channels = sensor.channels;
  const planes = Array.from({ length: channels }, () => new Float32Array(width * height));

  const shape = scene.cutting ? cutShape(job, reachOfCuts(scene.cutting, coarsestPitch(imaging))) : { lines: [], pieces: [], holes: [] };
  const bare = boardPainter(scene.board, random.fork());
  const print = printer(scene.inks, job.sheet, random.fork());
  const cutRandom = random.fork();
  const cut = scene.cutting ? cutPainter(shape, scene.cutting, scene.light.from, cutRandom) : null;
  const { width: w, height: h } = job.sheet;
  const sheet = pathFields({ id: "sheet", kind: "cut", path: `M 0 0 H ${w} V ${h} H 0 Z` })[0];
  const end = outlinePainter(scene, shape, sheet, random.fork(), (x, y) => inverse(scene.cut, x, y));
  const lit = lighting(scene.light, area);
  const workplace = newWorkplace(channels);

  for (let v = 0; v < height; v += TILE.height) {
    for (let u = 0; u < width; u += TILE.width) {
      const size = { width: Math.min(TILE.width, width - u), height: Math.min(TILE.height, height - v) };
      const tile = placeTile(scene, imaging, workplace, u, v, size.width, size.height);
      const where = end.where(tile);
      if (where !== "beside") {
        bare(tile);
        for (let k = 0; k < channels; k++) tile.bare[k].set(tile.light[k]);
        print(tile);
        cut?.(tile);
      }
      if (where !== "on") end.paint(tile);
      lit(tile);
      for (let k = 0; k < channels; k++) paste(tile.light[k], planes[k], v * width + u, width, size);
    }
  }
  return expose(planes, width, height, sensor, scene.light.vignette, random.fork());
}

/** Copies a tile's plane into the picture's, from the pixel `at` on. */
function paste(from: Float32Array, to: Float32Array, at: number, stride: number, size: { width: number; height: number }): void {
  for (let j = 0, i = 0; j < size.height; j++) for (let x = at + j * stride, end = x + size.width; x < end; x++, i++) to[x] = from[i];
}
