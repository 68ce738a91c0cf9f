import { boxAround } from "./box.ts";
import type { Imaging } from "./imaging.ts";
import { inverse } from "./layerMap.ts";
import { DRAWN_BLUR, type Scene } from "./scene.ts";
import { TILE, type Tile } from "./tile.ts";

/** Exactly mapped points along each side of a patch. */
const NODES = 4;

/** What a tile is drawn into, used over again for every patch. */
export type Workplace = Pick<Tile, "X" | "Y" | "x" | "y" | "cx" | "cy" | "channels" | "bare" | "light">;

/** Room for one tile, to be used again and again; a grey picture has one channel. */
export function newWorkplace(channels: 1 | 3): Workplace {
  const doubles = (): Float64Array => new Float64Array(TILE.pixels);
  const floats = (): Float32Array[] => Array.from({ length: channels }, () => new Float32Array(TILE.pixels));
  return { X: doubles(), Y: doubles(), x: doubles(), y: doubles(), cx: doubles(), cy: doubles(), channels, bare: floats(), light: floats() };
}

/**
 * Maps the pixels of a patch to the board and into both layers, and the drawing's blur with them. 4 x 4 points are mapped exactly, the pixels
 * between by the bicubic polynomial through them: over 64 pixels it departs by less than 1e-5 px (tests/core/sample/draw.test.ts).
 */
export function placeTile(scene: Scene, imaging: Imaging, on: Workplace, u: number, v: number, width: number, height: number): Tile {
  const count = width * height;
  const exact = Array.from({ length: 6 }, () => new Float64Array(NODES * NODES));
  const [X, Y, x, y, cx, cy] = exact;
  const out = new Float64Array(2);
  for (let n = 0; n < NODES * NODES; n++) {
    imaging.toBoard(u + ((n % NODES) * (width - 1)) / (NODES - 1), v + (Math.floor(n / NODES) * (height - 1)) / (NODES - 1), 0, out);
    [X[n], Y[n]] = out;
    const [print, cut] = [inverse(scene.print, X[n], Y[n]), inverse(scene.cut, X[n], Y[n])];
    [x[n], y[n], cx[n], cy[n]] = [print.x, print.y, cut.x, cut.y];
  }
  [on.X, on.Y, on.x, on.y, on.cx, on.cy].forEach((plane, k) => bicubic(exact[k], plane, width, height));

  const at = (du: number, dv: number, z = 0): [number, number] => {
    imaging.toBoard(u + width / 2 + du, v + height / 2 + dv, z, out);
    return [out[0], out[1]];
  };
  const [o, right, down, under] = [at(0, 0), at(1, 0), at(0, 1), at(0, 0, -scene.board.thickness)];
  const [a, b, c, d] = [right[0] - o[0], down[0] - o[0], right[1] - o[1], down[1] - o[1]];
  const s2 = DRAWN_BLUR * DRAWN_BLUR;
  return {
    ...on, count, box: { board: boxAround(X, Y, 0.02), print: boxAround(x, y, 0.02), cut: boxAround(cx, cy, 0.02) },
    soft: { xx: s2 * (a * a + b * b), xy: s2 * (a * c + b * d), yy: s2 * (c * c + d * d) },
    under: { x: under[0] - o[0], y: under[1] - o[1] },
  };
}

/** Fills a plane row by row with the bicubic polynomial through 4 x 4 values that are spread evenly from corner to corner. */
function bicubic(nodes: Float64Array, plane: Float64Array, width: number, height: number): void {
  for (let j = 0, i = 0; j < height; j++) {
    const s = height > 1 ? (3 * j) / (height - 1) : 0;
    const p0 = cubic(s, nodes[0], nodes[4], nodes[8], nodes[12]);
    const p1 = cubic(s, nodes[1], nodes[5], nodes[9], nodes[13]);
    const p2 = cubic(s, nodes[2], nodes[6], nodes[10], nodes[14]);
    const p3 = cubic(s, nodes[3], nodes[7], nodes[11], nodes[15]);
    // The cubic through p0 to p3 at 0, 1, 2, 3, in powers of t (Newton's forward differences).
    const d1 = p1 - p0, d2 = p2 - 2 * p1 + p0, d3 = p3 - 3 * p2 + 3 * p1 - p0;
    const a = d1 - d2 / 2 + d3 / 3, b = d2 / 2 - d3 / 2, c = d3 / 6;
    const step = width > 1 ? 3 / (width - 1) : 0;
    for (let k = 0; k < width; k++, i++) {
      const t = k * step;
      plane[i] = p0 + t * (a + t * (b + t * c));
    }
  }
}

/** The cubic through values at 0, 1, 2, 3, at t (Lagrange's weights). */
function cubic(t: number, p0: number, p1: number, p2: number, p3: number): number {
  const a = t - 1, b = t - 2, c = t - 3;
  return (-a * b * c * p0 + 3 * t * b * c * p1 - 3 * t * a * c * p2 + t * a * b * p3) / 6;
}

/** The most millimetres of board that a pixel spans anywhere in the picture. */
export function coarsestPitch({ width, height, toBoard }: Imaging): number {
  const [here, there] = [new Float64Array(2), new Float64Array(2)];
  let pitch = 0;
  for (const [u, v] of [[0, 0], [width - 2, 0], [0, height - 2], [width - 2, height - 2], [width / 2, height / 2]]) {
    toBoard(u, v, 0, here);
    for (const [du, dv] of [[1, 0], [0, 1], [0.7, 0.7], [0.7, -0.7]]) {
      toBoard(u + du, v + dv, 0, there);
      pitch = Math.max(pitch, Math.hypot(there[0] - here[0], there[1] - here[1]));
    }
  }
  return pitch;
}
