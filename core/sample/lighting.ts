import type { Framed } from "./imaging.ts";
import type { LightLook } from "./scene.ts";
import { tabulated } from "./tabulated.ts";
import { TILE, type Tile } from "./tile.ts";

const logistic = tabulated((t) => 1 / (1 + Math.exp(-t)), -20, 20, 8192);
const decay = tabulated((t) => Math.exp(-t), 0, 20, 8192);

/** Light falling on the board, without the lens's falloff: a gradient, a hard shadow, a glare. */
export function lighting(look: LightLook, area: Framed): (tile: Tile) => void {
  const w = area.x1 - area.x0;
  const h = area.y1 - area.y0;
  const middle = { x: (area.x0 + area.x1) / 2, y: (area.y0 + area.y1) / 2 };
  const reach = Math.hypot(w, h);
  const { shadow, glare } = look;
  const [gx, gy] = [(look.gradient * Math.cos(look.from)) / reach, (look.gradient * Math.sin(look.from)) / reach];
  const factor = new Float64Array(TILE.pixels);

  return ({ count, X, Y, light, channels }) => {
    for (let i = 0; i < count; i++) factor[i] = look.exposure * (1 + gx * (X[i] - middle.x) + gy * (Y[i] - middle.y));
    if (shadow) {
      const [ax, ay, at] = [Math.cos(shadow.angle) / shadow.soft, Math.sin(shadow.angle) / shadow.soft, ((shadow.at - 0.5) * reach) / shadow.soft];
      for (let i = 0; i < count; i++) factor[i] *= 1 - shadow.depth * logistic(ax * (X[i] - middle.x) + ay * (Y[i] - middle.y) - at);
    }
    if (glare) {
      const [px, py, per] = [area.x0 + glare.x * w, area.y0 + glare.y * h, 1 / (glare.radius * glare.radius)];
      for (let i = 0; i < count; i++) {
        const [dx, dy] = [X[i] - px, Y[i] - py];
        factor[i] *= 1 + glare.gain * decay((dx * dx + dy * dy) * per);
      }
    }
    for (let k = 0; k < channels; k++) {
      const plane = light[k];
      for (let i = 0; i < count; i++) plane[i] *= factor[i];
    }
  };
}
