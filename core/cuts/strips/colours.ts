import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { bilinear } from "../../image/bilinear.ts";
import { linearTable } from "../../image/light.ts";
import type { Picture } from "../../image/picture.ts";
import type { Station } from "../../job/walk.ts";
import { CORNER_CLEARANCE, type Colours } from "./strip.ts";

/** Looks at pieces of path in red, green and blue alone: printed ground is of another tone in each, a lip of bare board is not. Null for a grey picture. */
export function coloursOf(picture: Picture, toPicture: (p: PrintPoint) => PicturePoint | null): ((piece: readonly Station[]) => Colours) | null {
  if (picture.channels === 1) return null;
  const table = linearTable(picture);
  return (piece) => (t, half, step) => meansOf({ picture, table, toPicture }, piece, t, half, step);
}

interface Looked {
  readonly picture: Picture;
  readonly table: Float32Array;
  readonly toPicture: (p: PrintPoint) => PicturePoint | null;
}

/** Means of the three planes along a piece, `half` samples of `step` mm to either side of t mm. */
function meansOf({ picture, table, toPicture }: Looked, piece: readonly Station[], t: number, half: number, step: number): Float64Array[] {
  const sums = [0, 1, 2].map(() => new Float64Array(2 * half + 1));
  let used = 0;
  for (const station of piece) {
    if (station.corner < CORNER_CLEARANCE) continue;
    const [a, m, b] = [toPicture(across(station, t - half * step)), toPicture(across(station, t)), toPicture(across(station, t + half * step))];
    if (!a || !m || !b) continue;
    addRow(picture, table, a, m, b, half, sums);
    used++;
  }
  for (const sum of sums) for (let i = 0; i < sum.length; i++) sum[i] /= used;
  return sums;
}

/** The place d mm along a station's normal. */
function across({ x, y, nx, ny }: Station, d: number): PrintPoint {
  return { x: x + d * nx, y: y + d * ny };
}

/** Adds the three planes at points from a by m, the middle one, to b: on the parabola through them, bilinear; NaN outside the picture. */
function addRow({ width, height, data }: Picture, table: Float32Array, a: PicturePoint, m: PicturePoint, b: PicturePoint, half: number, sums: readonly Float64Array[]): void {
  const row = 3 * width;
  const bendX = (a.x - 2 * m.x + b.x) / 2;
  const bendY = (a.y - 2 * m.y + b.y) / 2;
  const slopeX = (b.x - a.x) / 2;
  const slopeY = (b.y - a.y) / 2;
  for (let i = 0; i <= 2 * half; i++) {
    const s = i / half - 1;
    const x = m.x + s * (slopeX + s * bendX);
    const y = m.y + s * (slopeY + s * bendY);
    if (!(x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1)) {
      for (const sum of sums) sum[i] = NaN;
      continue;
    }
    const x0 = Math.min(x | 0, width - 2);
    const y0 = Math.min(y | 0, height - 2);
    let at = y0 * row + 3 * x0;
    for (let k = 0; k < 3; k++, at++) {
      sums[k][i] += bilinear(table[data[at]], table[data[at + 3]], table[data[at + row]], table[data[at + row + 3]], x - x0, y - y0);
    }
  }
}
