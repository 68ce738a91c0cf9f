import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { linearTable } from "../../image/light.ts";
import type { Picture } from "../../image/picture.ts";
import type { PlaneWeights } from "../../image/sampler.ts";
import type { Station } from "../../job/walk.ts";

/** Distances across at which the ground is looked at, mm: to both sides, clear of the cut. */
const BESIDE = [-2, -1.2, 1.2, 2];
/** Stations of a piece that are looked at. */
const PROBES = 3;

/**
 * The mix of colour planes in which a slit shows best, piece by piece. A slit is dark in all of them, ink leaves at least one bright: red ink swallows a slit in green and
 * blue but not in red. Each plane counts by the cube of its ground's light: its share of the signal, of the squared signal over shot noise, and dark planes quantise coarsely.
 */
export function brightPlanes(picture: Picture, toPicture: (p: PrintPoint) => PicturePoint | null): (piece: readonly Station[]) => PlaneWeights | null {
  return picture.channels === 1 ? () => null : (piece) => brightMix(picture, toPicture, piece);
}

/** The mix for one piece; null where equal parts do. */
function brightMix(picture: Picture, toPicture: (p: PrintPoint) => PicturePoint | null, piece: readonly Station[]): PlaneWeights | null {
  const { light, clipped, seen } = groundBeside(picture, toPicture, piece);
  const most = Math.max(...light);
  if (!(most > 0) || Math.min(...light) > EVEN * most) return null;
  const shares = light.map((v, k) => (clipped[k] > CLIPPED * seen ? 0 : (v / most) ** 3));
  const total = shares.reduce((s, v) => s + v, 0);
  return total > FAINT ? (shares.map((v) => v / total) as unknown as PlaneWeights) : null;
}

/**
 * Codes from this share of full scale on are taken to be cut off, and a plane with more than this share of such samples beside a slit is overexposed: where it is cut off it shows no light any
 * more, and the slit narrower than it is on its brighter side. The other planes are used unless all their light together is this faint, over that of the overexposed one, cubed.
 */
const FULL = 0.985;
export const CLIPPED = 0.25;
const FAINT = 0.01;
/** A ground as neutral as this is best seen in equal parts. */
const EVEN = 0.85;

/** What lies beside a piece of path, clear of the cut. */
export interface Ground {
  /** Places seen. */
  readonly seen: number;
  /** Sums over them of red, green and blue, linear light, and how many are cut off in each. */
  readonly light: readonly number[];
  readonly clipped: readonly number[];
}

/** The ground beside a piece of path in a picture in colours. */
export function groundBeside(picture: Picture, toPicture: (p: PrintPoint) => PicturePoint | null, piece: readonly Station[]): Ground {
  const { width, height, data } = picture;
  const table = linearTable(picture);
  const light = [0, 0, 0];
  const clipped = [0, 0, 0];
  let seen = 0;
  for (let probe = 0; probe < PROBES; probe++) {
    const { x, y, nx, ny } = piece[Math.floor(((probe + 0.5) * piece.length) / PROBES)];
    for (const d of BESIDE) {
      const q = toPicture({ x: x + d * nx, y: y + d * ny });
      const [i, j] = q ? [Math.round(q.x), Math.round(q.y)] : [-1, -1];
      if (!(i >= 0 && j >= 0 && i < width && j < height)) continue;
      seen++;
      for (let k = 0; k < 3; k++) {
        const code = data[3 * (j * width + i) + k];
        light[k] += table[code];
        if (code >= FULL * (table.length - 1)) clipped[k]++;
      }
    }
  }
  return { seen, light, clipped };
}
