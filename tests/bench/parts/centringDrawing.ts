import normalCdf from "@stdlib/stats-base-dists-normal-cdf";

/**
 * Draws a mark as a camera would see it, by a way that shares nothing with the measuring code: the shape as columns of ink, a Gaussian
 * blur and then the pixel's own square. Exact in y; along x Gauss-Legendre quadrature between the shape's breaks. Smooth in the centre,
 * so its derivatives may be taken numerically.
 */
export type ShapeName = "dot" | "ring" | "cross" | "checker";

export interface Drawn {
  readonly shape: ShapeName;
  /** Extent, px. A ring's hole is 0.6 of it, a cross's stroke a sixth. */
  readonly diameter: number;
  /** Sigma of the Gaussian before the pixel's square, px. */
  readonly blur: number;
}

export const HOLE = 0.6;
export const STROKE = 1 / 6;

/** Columns of ink at x from the centre: pairs of lower and upper y (picture y, downwards). */
type Section = (x: number) => readonly (readonly [number, number])[];

/** Ink coverage 0..1 of each pixel of a square window of `side` with the mark's centre at (cx, cy). */
export function drawCoverage({ shape, diameter, blur }: Drawn, side: number, cx: number, cy: number): Float64Array {
  const { section, breaks } = shapeOf(shape, diameter);
  const out = new Float64Array(side * side);
  const column = new Float64Array(side);
  const far = 6 * blur + 0.5;
  for (const { x, weight } of nodes(breaks)) {
    column.fill(0);
    for (const [low, high] of section(x)) {
      for (let i = Math.max(0, Math.ceil(cy + low - far)); i < side; i++) column[i] += step(i - cy - low, blur);
      for (let i = Math.max(0, Math.ceil(cy + high - far)); i < side; i++) column[i] -= step(i - cy - high, blur);
    }
    for (let j = Math.max(0, Math.ceil(cx + x - far)); j <= Math.min(side - 1, Math.floor(cx + x + far)); j++) {
      const t = j - cx - x;
      const share = weight * (phi((t + 0.5) / blur) - phi((t - 0.5) / blur));
      for (let i = 0; i < side; i++) out[i * side + j] += share * column[i];
    }
  }
  return out;
}

function shapeOf(shape: ShapeName, diameter: number): { section: Section; breaks: number[] } {
  const r = diameter / 2;
  const chord = (radius: number, x: number): number => Math.sqrt(Math.max(0, radius * radius - x * x));
  switch (shape) {
    case "dot":
      return { section: (x) => [[-chord(r, x), chord(r, x)]], breaks: [-r, r] };
    case "ring": {
      const hole = HOLE * r;
      const section: Section = (x) =>
        Math.abs(x) >= hole ? [[-chord(r, x), chord(r, x)]] : [[-chord(r, x), -chord(hole, x)], [chord(hole, x), chord(r, x)]];
      return { section, breaks: [-r, -hole, hole, r] };
    }
    case "cross": {
      const half = (STROKE * diameter) / 2;
      return { section: (x) => (Math.abs(x) < half ? [[-r, r]] : [[-half, half]]), breaks: [-r, -half, half, r] };
    }
    case "checker":
      // Ink at the upper right and the lower left.
      return { section: (x) => (x > 0 ? [[-chord(r, x), 0]] : [[0, chord(r, x)]]), breaks: [-r, 0, r] };
  }
}

/** Four-point Gauss-Legendre nodes in pieces of half a pixel or less; finer towards the breaks, where a circle's chord has a root. */
function nodes(breaks: readonly number[]): { x: number; weight: number }[] {
  const list: { x: number; weight: number }[] = [];
  for (let b = 0; b + 1 < breaks.length; b++) {
    const [from, to] = [breaks[b], breaks[b + 1]];
    const pieces = Math.max(4, Math.ceil(1.5 * (to - from)));
    // x = middle - half cos(angle): the root's ends become smooth.
    for (let k = 0; k < pieces; k++) {
      for (let g = 0; g < 4; g++) {
        const angle = (Math.PI * (k + 0.5 + 0.5 * NODES[g])) / pieces;
        const half = (to - from) / 2;
        list.push({ x: (from + to) / 2 - half * Math.cos(angle), weight: (half * Math.sin(angle) * Math.PI * WEIGHTS[g]) / (2 * pieces) });
      }
    }
  }
  return list;
}

/** Abscissas and weights of four-point Gauss-Legendre quadrature (Abramowitz and Stegun, table 25.4; from memory). */
const NODES = [-0.861136311594053, -0.339981043584856, 0.339981043584856, 0.861136311594053];
const WEIGHTS = [0.347854845137454, 0.652145154862546, 0.652145154862546, 0.347854845137454];

/** A step from 0 to 1 at t = 0, blurred and averaged over the pixel at t. */
function step(t: number, blur: number): number {
  return t > 6 * blur + 0.5 ? 1 : rise(t + 0.5, blur) - rise(t - 0.5, blur);
}

/** The integral of the blurred step up to t. */
function rise(t: number, blur: number): number {
  const z = t / blur;
  return t * phi(z) + (blur * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI);
}

const phi = (z: number): number => normalCdf(z, 0, 1);
