import { density, integral } from "../image/normal.ts";
import type { Mark } from "../job/schema.ts";

/**
 * The blur seen in the print plane: the covariance of a Gaussian of 1 px in the picture, carried into the print plane,
 * mm^2. Isotropic blur in the picture is an ellipse there when the sheet is tilted.
 */
export interface PlaneBlur {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** What `Coverage` writes: the value and its derivatives by u, v (mm), gain (mm) and the natural logarithm of the blur. */
export type CoverageRow = Float64Array;
export const COVERAGE_TERMS = 5;

/**
 * Ink coverage (0..1) of a mark's shape at (u, v) mm from its centre after its outline has grown by `gain` mm (dot gain)
 * and been blurred by `blur` times the 1 px ellipse.
 */
export type Coverage = (u: number, v: number, gain: number, blur: number, out: CoverageRow) => void;

/** Half the extent of a mark, mm: no ink lies further from the centre. */
export function reach(mark: Mark): number {
  switch (mark.shape) {
    case "dot":
    case "checker":
      return mark.diameter / 2;
    case "ring":
      return mark.outer / 2;
    case "square":
      return mark.size / Math.SQRT2;
    case "cross":
      return Math.hypot(mark.size, mark.stroke) / 2;
  }
}

/** Inked area of a mark, mm^2. */
export function inkArea(mark: Mark): number {
  switch (mark.shape) {
    case "dot":
      return (Math.PI / 4) * mark.diameter ** 2;
    case "ring":
      return (Math.PI / 4) * (mark.outer ** 2 - mark.inner ** 2);
    case "checker":
      return (Math.PI / 8) * mark.diameter ** 2;
    case "square":
      return mark.size ** 2;
    case "cross":
      return 2 * mark.size * mark.stroke - mark.stroke ** 2;
  }
}

/** The coverage function of a mark under the given plane blur. */
export function coverageOf(mark: Mark, plane: PlaneBlur): Coverage {
  switch (mark.shape) {
    case "dot":
      return disc(mark.diameter / 2, plane, 1);
    case "ring": {
      const outer = disc(mark.outer / 2, plane, 1);
      const inner = disc(mark.inner / 2, plane, -1);
      const hole = new Float64Array(COVERAGE_TERMS);
      return (u, v, gain, blur, out) => {
        outer(u, v, gain, blur, out);
        inner(u, v, gain, blur, hole);
        for (let i = 0; i < COVERAGE_TERMS; i++) out[i] -= hole[i];
      };
    }
    case "square":
      return bar(mark.size, mark.size, plane);
    case "cross":
      return turned(((mark.angle ?? 0) * Math.PI) / 180, plane, (local) => {
        // The sum of both bars counts their common square twice; blurring is linear, so this is exact.
        const parts = [bar(mark.size, mark.stroke, local), bar(mark.stroke, mark.size, local), bar(mark.stroke, mark.stroke, local)];
        const part = new Float64Array(COVERAGE_TERMS);
        return (u, v, gain, blur, out) => {
          parts[0](u, v, gain, blur, out);
          parts[1](u, v, gain, blur, part);
          for (let i = 0; i < COVERAGE_TERMS; i++) out[i] += part[i];
          parts[2](u, v, gain, blur, part);
          for (let i = 0; i < COVERAGE_TERMS; i++) out[i] -= part[i];
        };
      });
    case "checker":
      return checker(mark.diameter / 2, plane);
  }
}

/** The coverage of a checker whose ink is in the upper left and the lower right quarter: its image in the v axis. */
export function otherQuarters(mark: Extract<Mark, { shape: "checker" }>, { xx, xy, yy }: PlaneBlur): Coverage {
  const image = checker(mark.diameter / 2, { xx, xy: -xy, yy });
  return (u, v, gain, blur, out) => {
    image(-u, v, gain, blur, out);
    out[1] = -out[1];
  };
}

/** A disc whose radius grows (sign 1) or shrinks (sign -1, the hole of a ring) with the gain. */
function disc(radius: number, plane: PlaneBlur, sign: 1 | -1): Coverage {
  return (u, v, gain, blur, out) => {
    const rho = Math.sqrt(u * u + v * v);
    // In the very centre any direction serves: all of the outline is equally far.
    const nx = rho > 0 ? u / rho : 1;
    const ny = rho > 0 ? v / rho : 0;
    const sigma = blur * Math.sqrt(nx * nx * plane.xx + 2 * nx * ny * plane.xy + ny * ny * plane.yy);
    const z = (radius + sign * gain - rho) / sigma;
    const slope = Math.abs(z) > 6 ? 0 : density(z) / sigma;
    out[0] = integral(z);
    out[1] = -slope * nx;
    out[2] = -slope * ny;
    out[3] = sign * slope;
    out[4] = -slope * z * sigma;
  };
}

/** A rectangle of width x height along the axes: the product of two blurred strips. */
function bar(width: number, height: number, plane: PlaneBlur): Coverage {
  const sx = Math.sqrt(plane.xx);
  const sy = Math.sqrt(plane.yy);
  const a = new Float64Array(4);
  const b = new Float64Array(4);
  return (u, v, gain, blur, out) => {
    strip(u, width / 2 + gain, sx * blur, a);
    strip(v, height / 2 + gain, sy * blur, b);
    out[0] = a[0] * b[0];
    out[1] = a[1] * b[0];
    out[2] = a[0] * b[1];
    out[3] = a[2] * b[0] + a[0] * b[2];
    out[4] = a[3] * b[0] + a[0] * b[3];
  };
}

/** A strip |t| < half blurred by sigma: value and derivatives by t, half and ln sigma. */
function strip(t: number, half: number, sigma: number, out: Float64Array): void {
  const p = (t + half) / sigma;
  const m = (t - half) / sigma;
  const dp = Math.abs(p) > 6 ? 0 : density(p);
  const dm = Math.abs(m) > 6 ? 0 : density(m);
  out[0] = integral(p) - integral(m);
  out[1] = (dp - dm) / sigma;
  out[2] = (dp + dm) / sigma;
  out[3] = -dp * p + dm * m;
}

/** A disc of alternating quarters, ink at the upper right and lower left: half (1 + sign(u) sign(v)), blurred, within the disc. */
function checker(radius: number, plane: PlaneBlur): Coverage {
  const outline = disc(radius, plane, 1);
  const sx = Math.sqrt(plane.xx);
  const sy = Math.sqrt(plane.yy);
  return (u, v, gain, blur, out) => {
    outline(u, v, gain, blur, out);
    const zu = u / (sx * blur);
    const zv = v / (sy * blur);
    const eu = 2 * integral(zu) - 1;
    const ev = 2 * integral(zv) - 1;
    const du = (2 * density(zu)) / (sx * blur);
    const dv = (2 * density(zv)) / (sy * blur);
    const quarters = 0.5 * (1 + eu * ev);
    const c = out[0];
    out[0] = c * quarters;
    out[1] = out[1] * quarters + 0.5 * c * du * ev;
    out[2] = out[2] * quarters + 0.5 * c * eu * dv;
    out[3] *= quarters;
    out[4] = out[4] * quarters - 0.5 * c * (du * sx * blur * zu * ev + dv * sy * blur * zv * eu);
  };
}

/** Evaluates a shape in axes turned by `angle` (counter-clockwise) and turns the derivatives back. */
function turned(angle: number, plane: PlaneBlur, make: (local: PlaneBlur) => Coverage): Coverage {
  if (angle === 0) return make(plane);
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const inner = make({
    xx: c * c * plane.xx + 2 * c * s * plane.xy + s * s * plane.yy,
    xy: c * s * (plane.yy - plane.xx) + (c * c - s * s) * plane.xy,
    yy: s * s * plane.xx - 2 * c * s * plane.xy + c * c * plane.yy,
  });
  return (u, v, gain, blur, out) => {
    inner(c * u + s * v, -s * u + c * v, gain, blur, out);
    const du = out[1];
    const dv = out[2];
    out[1] = c * du - s * dv;
    out[2] = s * du + c * dv;
  };
}
