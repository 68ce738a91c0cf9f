import type { Covariance2, PrintPoint } from "../geometry/frames.ts";
import { normalCdf, normalDensity } from "../statistics/normal.ts";
import { integrate } from "../statistics/quadrature.ts";

/**
 * Probability that the true size |t| is at most `limit`, the measured `value` being normal about t with standard
 * uncertainty `u` (all in one unit): Phi((limit - value)/u) - Phi((-limit - value)/u).
 *
 * JCGM 106:2012, 7.4 (two-sided tolerance interval, no prior knowledge of the sheet). With `u` = 0 it is 1 or 0.
 * Example: conformity(0.5, 0.1, 0.5) is 0.5, as the value lies on the limit.
 */
export function conformity(value: number, u: number, limit: number): number {
  const size = Math.abs(finite(value, "value"));
  if (finite(u, "standard uncertainty") === 0) return size <= limit ? 1 : 0;
  return normalCdf((limit - size) / u) - normalCdf((-limit - size) / u);
}

/** Windows wider than this many standard deviations add less than 1e-16. */
const REACH = 8.5;

/**
 * Probability that the true offset is at most `limit` long, the measured (x, y) being bivariate normal about it with
 * covariance `cov` (mm, mm^2). A measured length cannot be negative and is biased upwards, so a normal fitted to the length
 * would be wrong near zero; this integrates the density over the disc instead.
 *
 * In the principal axes of `cov`, with the smaller deviation s along a and the larger t along b, and a = limit sin(w):
 * integral of phi((a - ma)/s)/s * [Phi((limit cos(w) - mb)/t) - Phi((-limit cos(w) - mb)/t)] da.
 */
export function radialConformity(offset: PrintPoint, cov: Covariance2<"print">, limit: number): number {
  const { x, y } = { x: finite(offset.x, "x"), y: finite(offset.y, "y") };
  const axes = principalAxes(cov);
  const ma = -x * axes.sin + y * axes.cos;
  const mb = x * axes.cos + y * axes.sin;
  const { minor: s, major: t } = axes;
  if (t === 0) return Math.hypot(x, y) <= limit ? 1 : 0;
  const chord = (half: number): number => normalCdf((half - mb) / t) - normalCdf((-half - mb) / t);
  if (s <= 1e-12 * limit) return Math.abs(ma) <= limit ? chord(Math.sqrt(limit * limit - ma * ma)) : 0;
  const from = Math.asin(clamp((ma - REACH * s) / limit));
  const to = Math.asin(clamp((ma + REACH * s) / limit));
  const inside = integrate((w) => {
    const half = limit * Math.cos(w);
    return (normalDensity((limit * Math.sin(w) - ma) / s) / s) * half * chord(half);
  }, from, to, { tolerance: 1e-10 });
  return clamp(inside, 0);
}

/** Standard deviations along the principal axes of a 2x2 covariance, and the direction (cos, sin) of the major one. */
export function principalAxes(cov: Covariance2<"print">): { major: number; minor: number; cos: number; sin: number } {
  const mean = 0.5 * (finite(cov.xx, "xx") + finite(cov.yy, "yy"));
  const half = 0.5 * (cov.xx - cov.yy);
  const spread = Math.hypot(half, finite(cov.xy, "xy"));
  const angle = 0.5 * Math.atan2(cov.xy, half);
  return {
    major: Math.sqrt(Math.max(0, mean + spread)),
    minor: Math.sqrt(Math.max(0, mean - spread)),
    cos: Math.cos(angle),
    sin: Math.sin(angle),
  };
}

/**
 * Standard uncertainty of the length of an offset, mm: along its own direction to first order (JCGM 100:2008, 5.2). For an
 * offset that is not distinguishable from zero the direction means nothing, so the larger principal deviation is given.
 */
export function lengthUncertainty(offset: PrintPoint, cov: Covariance2<"print">): number {
  const length = Math.hypot(offset.x, offset.y);
  const { major } = principalAxes(cov);
  if (length <= major) return major;
  const [nx, ny] = [offset.x / length, offset.y / length];
  return Math.sqrt(Math.max(0, nx * nx * cov.xx + 2 * nx * ny * cov.xy + ny * ny * cov.yy));
}

function clamp(value: number, low = -1): number {
  return Math.min(1, Math.max(low, value));
}

function finite(value: number, name: string): number {
  if (!Number.isFinite(value)) throw new RangeError(`a conformity needs finite figures; ${name} is ${value}`);
  return value;
}
