import type { PicturePoint, PrintPoint } from "../geometry/frames.ts";
import type { Picture } from "../image/picture.ts";
import { samplerOf, type PlaneWeights, type Sampler } from "../image/sampler.ts";
import type { Station } from "../job/walk.ts";

/** How far from the path piece and background are looked at, mm: clear of the edge, the wall and the cut's own error. */
const AWAY = [1.5, 2.2, 3];
const primaries: readonly PlaneWeights[] = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];

/**
 * The mix of colour planes in which piece and background differ most for their own spread: printed artwork may be as light as the table in grey all
 * along an outline and yet differ from it in colour. Fisher's discriminant with independent planes: w = (mean in - mean out)/(var in + var out).
 * The neutral sampler where the picture is grey or too little is seen.
 */
export function outlineSampler(picture: Picture, neutral: Sampler, stations: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null): Sampler {
  if (picture.channels === 1) return neutral;
  const stride = Math.max(1, Math.floor(stations.length / 300));
  const value = new Float32Array(1);
  const weights = primaries.map((plane) => {
    const sampler = samplerOf(picture, plane);
    const sides = [-1, 1].map((side) => {
      const values: number[] = [];
      for (let i = 0; i < stations.length; i += stride) {
        for (const d of AWAY) {
          const q = toPicture({ x: stations[i].x + side * d * stations[i].nx, y: stations[i].y + side * d * stations[i].ny });
          if (!q) continue;
          sampler.line(q.x, q.y, 0, 0, 1, value, 0);
          if (!Number.isNaN(value[0])) values.push(value[0]);
        }
      }
      return moments(values);
    });
    const [inside, outside] = sides;
    if (!inside || !outside) return 0;
    return (inside.mean - outside.mean) / (inside.variance + outside.variance + 1e-6);
  });
  const total = weights.reduce((s, w) => s + Math.abs(w), 0);
  return total > 0 ? samplerOf(picture, weights.map((w) => w / total) as unknown as PlaneWeights) : neutral;
}

function moments(values: readonly number[]): { mean: number; variance: number } | null {
  if (values.length < 20) return null;
  const mean = values.reduce((s, v) => s + v, 0) / values.length;
  return { mean, variance: values.reduce((s, v) => s + (v - mean) ** 2, 0) / values.length };
}
