import { density, integral } from "../../image/normal.ts";

/** One between `from` and `to`, nothing elsewhere, blurred by a Gaussian of sigma `blur`; all mm. */
export function band(t: number, from: number, to: number, blur: number): number {
  return integral((t - from) / blur) - integral((t - to) / blur);
}

/** By how much such a band changes where it is moved, per mm. */
export function bandMoved(t: number, from: number, to: number, blur: number): number {
  return (density((t - to) / blur) - density((t - from) / blur)) / blur;
}

/** By how much it changes where its blur's variance grows, as a share of that: half the second derivative times the variance. */
export function bandBlurred(t: number, from: number, to: number, blur: number): number {
  return (0.5 * ((t - to) * density((t - to) / blur) - (t - from) * density((t - from) / blur))) / blur;
}

/** exp(-t^2 / 2 spread^2) for t > 0, nothing before, blurred: what fades away from an edge. */
export function fading(t: number, spread: number, blur: number): number {
  const v = spread * spread + blur * blur;
  return (spread / Math.sqrt(v)) * Math.exp((-0.5 * t * t) / v) * integral((t * spread) / (blur * Math.sqrt(v)));
}

/** Nothing up to an edge, t beyond it, blurred by a Gaussian of sigma `blur`; all mm. */
export function slopeBeyond(t: number, blur: number): number {
  return t * integral(t / blur) + blur * density(t / blur);
}

/** From minus one to one between minus `half` and `half`, nothing elsewhere, blurred by a Gaussian of sigma `blur`; all mm. */
export function slopeWithin(t: number, half: number, blur: number): number {
  return (t * band(t, -half, half, blur) + blur * blur * -bandMoved(t, -half, half, blur)) / half;
}
