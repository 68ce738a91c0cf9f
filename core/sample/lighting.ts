import type { Framed } from "./imaging.ts";
import type { LightLook } from "./scene.ts";
import type { Tile } from "./tile.ts";

/** Light falling on the board, without the lens's falloff: a gradient, a hard shadow, a glare. */
export function lighting(look: LightLook, area: Framed): (tile: Tile) => void {
  const w = area.x1 - area.x0;
  const h = area.y1 - area.y0;
  const middle = { x: (area.x0 + area.x1) / 2, y: (area.y0 + area.y1) / 2 };
  const reach = Math.hypot(w, h);
  const { shadow, glare } = look;
  return ({ count, X, Y, light, channels }) => {
    for (let i = 0; i < count; i++) {
      const dx = X[i] - middle.x;
      const dy = Y[i] - middle.y;
      let factor = look.exposure * (1 + (look.gradient * (Math.cos(look.from) * dx + Math.sin(look.from) * dy)) / reach);
      if (shadow) {
        const across = Math.cos(shadow.angle) * dx + Math.sin(shadow.angle) * dy - (shadow.at - 0.5) * reach;
        factor *= 1 - shadow.depth / (1 + Math.exp(-across / shadow.soft));
      }
      if (glare) {
        const r = Math.hypot(X[i] - area.x0 - glare.x * w, Y[i] - area.y0 - glare.y * h) / glare.radius;
        factor *= 1 + glare.gain * Math.exp(-r * r);
      }
      for (let k = 0; k < channels; k++) light[k][i] *= factor;
    }
  };
}
