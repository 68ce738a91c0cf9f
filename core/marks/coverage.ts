import { density, integral } from "../image/normal.ts";
import type { Mark } from "../job/schema.ts";
import { Room } from "./room.ts";

/**
 * The blur seen in the print plane: the covariance of a Gaussian of 1 px in the picture, carried into the print plane,
 * mm^2. Isotropic blur in the picture is an ellipse there when the sheet is tilted.
 */
export interface PlaneBlur {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** What a coverage tells of a point: the value and its derivatives by u, v (mm), gain (mm) and the natural logarithm of the blur. */
export const COVERAGE_TERMS = 5;

/** Ink coverage (0..1) of a mark's shape under a blur. */
export interface Coverage {
  /**
   * Writes COVERAGE_TERMS numbers for each of the points (u, v), mm from the mark's centre, after its outline has grown by `gain` mm (dot gain) and been blurred by `blur` times the 1 px ellipse. It takes many
   * points at a time: a call for each costs more than its answer.
   */
  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void;
}

/** The coverage of a mark under the given plane blur. */
export function coverageOf(mark: Mark, plane: PlaneBlur): Coverage {
  switch (mark.shape) {
    case "dot":
      return new Disc(mark.diameter / 2, plane, 1);
    case "ring":
      return new Sum([new Disc(mark.outer / 2, plane, 1), new Disc(mark.inner / 2, plane, -1)], [1, -1]);
    case "square":
      return new Bar(mark.size, mark.size, plane);
    case "cross": {
      const angle = ((mark.angle ?? 0) * Math.PI) / 180;
      const local = turnedBlur(angle, plane);
      // The sum of both bars counts their common square twice; blurring is linear, so this is exact.
      const bars = new Sum([new Bar(mark.size, mark.stroke, local), new Bar(mark.stroke, mark.size, local), new Bar(mark.stroke, mark.stroke, local)], [1, 1, -1]);
      return angle === 0 ? bars : new Turned(angle, bars);
    }
    case "checker":
      return new Checker(mark.diameter / 2, plane);
  }
}

/** The coverage of a checker whose ink is in the upper left and the lower right quarter: its image in the v axis. */
export function otherQuarters(mark: Extract<Mark, { shape: "checker" }>, { xx, xy, yy }: PlaneBlur): Coverage {
  return new Mirrored(new Checker(mark.diameter / 2, { xx, xy: -xy, yy }));
}

/** A disc whose radius grows (sign 1) or shrinks (sign -1, the hole of a ring) with the gain. */
class Disc implements Coverage {
  private readonly radius: number;
  private readonly plane: PlaneBlur;
  private readonly sign: 1 | -1;

  constructor(radius: number, plane: PlaneBlur, sign: 1 | -1) {
    this.radius = radius;
    this.plane = plane;
    this.sign = sign;
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    const { sign, plane: { xx, xy, yy } } = this;
    const radius = this.radius + sign * gain;
    for (let i = 0, k = 0; i < u.length; i++, k += COVERAGE_TERMS) {
      const rho = Math.sqrt(u[i] * u[i] + v[i] * v[i]);
      // In the very centre any direction serves: all of the outline is equally far.
      const nx = rho > 0 ? u[i] / rho : 1;
      const ny = rho > 0 ? v[i] / rho : 0;
      const sigma = blur * Math.sqrt(nx * nx * xx + 2 * nx * ny * xy + ny * ny * yy);
      const z = (radius - rho) / sigma;
      const slope = Math.abs(z) > 6 ? 0 : density(z) / sigma;
      out[k] = integral(z);
      out[k + 1] = -slope * nx;
      out[k + 2] = -slope * ny;
      out[k + 3] = sign * slope;
      out[k + 4] = -slope * z * sigma;
    }
  }
}

/** Shapes added to each other, each with a sign. */
class Sum implements Coverage {
  private readonly parts: readonly Coverage[];
  private readonly signs: readonly (1 | -1)[];

  constructor(parts: readonly Coverage[], signs: readonly (1 | -1)[]) {
    this.parts = parts;
    this.signs = signs;
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    const part = partRoom.of(COVERAGE_TERMS * u.length);
    const { parts, signs } = this;
    for (let n = 0; n < parts.length; n++) {
      const into = n === 0 ? out : part;
      parts[n].at(u, v, gain, blur, into);
      if (n > 0) for (let k = 0; k < COVERAGE_TERMS * u.length; k++) out[k] += signs[n] * part[k];
    }
  }
}

/** A rectangle of width x height along the axes: the product of two blurred strips. */
class Bar implements Coverage {
  private readonly width: number;
  private readonly height: number;
  private readonly sx: number;
  private readonly sy: number;

  constructor(width: number, height: number, plane: PlaneBlur) {
    this.width = width;
    this.height = height;
    this.sx = Math.sqrt(plane.xx);
    this.sy = Math.sqrt(plane.yy);
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    const a = acrossRoom.of(STRIP_TERMS * u.length);
    const b = alongRoom.of(STRIP_TERMS * u.length);
    strips(u, this.width / 2 + gain, this.sx * blur, a);
    strips(v, this.height / 2 + gain, this.sy * blur, b);
    for (let i = 0, k = 0, s = 0; i < u.length; i++, k += COVERAGE_TERMS, s += STRIP_TERMS) {
      out[k] = a[s] * b[s];
      out[k + 1] = a[s + 1] * b[s];
      out[k + 2] = a[s] * b[s + 1];
      out[k + 3] = a[s + 2] * b[s] + a[s] * b[s + 2];
      out[k + 4] = a[s + 3] * b[s] + a[s] * b[s + 3];
    }
  }
}

const STRIP_TERMS = 4;

/** A strip |t| < half blurred by sigma: value and derivatives by t, half and ln sigma, at each t. */
function strips(ts: Float64Array, half: number, sigma: number, out: Float64Array): void {
  for (let i = 0, k = 0; i < ts.length; i++, k += STRIP_TERMS) {
    const p = (ts[i] + half) / sigma;
    const m = (ts[i] - half) / sigma;
    const dp = Math.abs(p) > 6 ? 0 : density(p);
    const dm = Math.abs(m) > 6 ? 0 : density(m);
    out[k] = integral(p) - integral(m);
    out[k + 1] = (dp - dm) / sigma;
    out[k + 2] = (dp + dm) / sigma;
    out[k + 3] = -dp * p + dm * m;
  }
}

/** A disc of alternating quarters, ink at the upper right and lower left: half (1 + sign(u) sign(v)), blurred, within the disc. */
class Checker implements Coverage {
  private readonly outline: Disc;
  private readonly sx: number;
  private readonly sy: number;

  constructor(radius: number, plane: PlaneBlur) {
    this.outline = new Disc(radius, plane, 1);
    this.sx = Math.sqrt(plane.xx);
    this.sy = Math.sqrt(plane.yy);
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    this.outline.at(u, v, gain, blur, out);
    const sx = this.sx * blur;
    const sy = this.sy * blur;
    for (let i = 0, k = 0; i < u.length; i++, k += COVERAGE_TERMS) {
      const zu = u[i] / sx;
      const zv = v[i] / sy;
      const eu = 2 * integral(zu) - 1;
      const ev = 2 * integral(zv) - 1;
      const du = (2 * density(zu)) / sx;
      const dv = (2 * density(zv)) / sy;
      const quarters = 0.5 * (1 + eu * ev);
      const c = out[k];
      out[k] = c * quarters;
      out[k + 1] = out[k + 1] * quarters + 0.5 * c * du * ev;
      out[k + 2] = out[k + 2] * quarters + 0.5 * c * eu * dv;
      out[k + 3] *= quarters;
      out[k + 4] = out[k + 4] * quarters - 0.5 * c * (du * this.sx * blur * zu * ev + dv * this.sy * blur * zv * eu);
    }
  }
}

/** A shape's image in the v axis. */
class Mirrored implements Coverage {
  private readonly shape: Coverage;

  constructor(shape: Coverage) {
    this.shape = shape;
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    const image = uRoom.of(u.length);
    for (let i = 0; i < u.length; i++) image[i] = -u[i];
    this.shape.at(image, v, gain, blur, out);
    for (let k = 1; k < COVERAGE_TERMS * u.length; k += COVERAGE_TERMS) out[k] = -out[k];
  }
}

/** A shape in axes turned by `angle` (counter-clockwise), its derivatives turned back. */
class Turned implements Coverage {
  private readonly c: number;
  private readonly s: number;
  private readonly shape: Coverage;

  constructor(angle: number, shape: Coverage) {
    this.c = Math.cos(angle);
    this.s = Math.sin(angle);
    this.shape = shape;
  }

  at(u: Float64Array, v: Float64Array, gain: number, blur: number, out: Float64Array): void {
    const [tu, tv] = [uRoom.of(u.length), vRoom.of(u.length)];
    const { c, s } = this;
    for (let i = 0; i < u.length; i++) {
      tu[i] = c * u[i] + s * v[i];
      tv[i] = -s * u[i] + c * v[i];
    }
    this.shape.at(tu, tv, gain, blur, out);
    for (let k = 0; k < COVERAGE_TERMS * u.length; k += COVERAGE_TERMS) {
      const du = out[k + 1];
      const dv = out[k + 2];
      out[k + 1] = c * du - s * dv;
      out[k + 2] = s * du + c * dv;
    }
  }
}

/** A blur's ellipse in axes turned by `angle` (counter-clockwise). */
function turnedBlur(angle: number, plane: PlaneBlur): PlaneBlur {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return {
    xx: c * c * plane.xx + 2 * c * s * plane.xy + s * s * plane.yy,
    xy: c * s * (plane.yy - plane.xx) + (c * c - s * s) * plane.xy,
    yy: s * s * plane.xx - 2 * c * s * plane.xy + c * c * plane.yy,
  };
}

/** A shape holds none of its own kind: one room for each kind does. */
const partRoom = new Room();
const acrossRoom = new Room();
const alongRoom = new Room();
const uRoom = new Room();
const vRoom = new Room();
