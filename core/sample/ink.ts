import type { Mark } from "../job/schema.ts";
import type { Colour } from "./colour.ts";
import { step } from "./gaussianStep.ts";
import type { PathField } from "./pathField.ts";

/** What a printed thing's outline is, nominal print frame, mm. `angle`: radians, counter-clockwise. */
export type InkShape =
  | { readonly kind: "disc"; readonly x: number; readonly y: number; readonly radius: number }
  | { readonly kind: "ring"; readonly x: number; readonly y: number; readonly outer: number; readonly inner: number }
  | { readonly kind: "bar"; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly angle: number }
  | { readonly kind: "cross"; readonly x: number; readonly y: number; readonly size: number; readonly stroke: number; readonly angle: number }
  | { readonly kind: "checker"; readonly x: number; readonly y: number; readonly radius: number; readonly light?: boolean }
  | { readonly kind: "modules"; readonly x: number; readonly y: number; readonly size: number; readonly count: number; readonly dark: Uint8Array }
  | { readonly kind: "panel"; readonly fields: readonly PathField[]; readonly grow: number };

/** How colour varies over a printed thing: writes transmittances of red, green and blue at many points. */
export type Tone = (x: Float64Array, y: Float64Array, count: number, out: readonly [Float64Array, Float64Array, Float64Array]) => void;

/** One printed thing. */
export interface Ink {
  readonly shape: InkShape;
  /** Transmittance of the ink; what opaque ink gives back. */
  readonly colour: Colour;
  readonly tone?: Tone;
  /** `over`: multiplies what lies below (process ink). `opaque`: covers it (white ink, tape). `bare`: shows the bare board (knocked out). */
  readonly lay: "over" | "opaque" | "bare";
  /** The outline grows by this much, mm (dot gain). */
  readonly gain: number;
  /** Standard deviation of the outline's raggedness, mm. */
  readonly rough: number;
}

/** The blur of the drawing at one place: standard deviation of the Gaussian along x, y and any direction, print mm. */
export interface Softness {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** Standard deviation of the blur along a unit direction, mm. */
export function softnessAlong(soft: Softness, nx: number, ny: number): number {
  return Math.sqrt(soft.xx * nx * nx + 2 * soft.xy * nx * ny + soft.yy * ny * ny);
}

/** The printed shape of a job's mark, in dark ink or in `light`. */
export function shapeOfMark(mark: Mark, light = mark.tone === "light"): InkShape {
  const { x, y } = mark;
  switch (mark.shape) {
    case "dot": return { kind: "disc", x, y, radius: mark.diameter / 2 };
    case "ring": return { kind: "ring", x, y, outer: mark.outer / 2, inner: mark.inner / 2 };
    case "square": return { kind: "bar", x, y, width: mark.size, height: mark.size, angle: 0 };
    case "cross": return { kind: "cross", x, y, size: mark.size, stroke: mark.stroke, angle: ((mark.angle ?? 0) * Math.PI) / 180 };
    case "checker": return { kind: "checker", x, y, radius: mark.diameter / 2, light };
  }
}

/** Half the extent of a shape about its centre, mm. */
export function extent(shape: InkShape): number {
  switch (shape.kind) {
    case "disc": case "checker": return shape.radius;
    case "ring": return shape.outer;
    case "bar": return Math.hypot(shape.width, shape.height) / 2;
    case "cross": return Math.hypot(shape.size, shape.stroke) / 2;
    case "modules": return shape.size * Math.SQRT1_2;
    case "panel": return Infinity;
  }
}

/** Ink coverage 0..1 at a point: `grow` moves the outline outwards, mm. Outlines are blurred along their normals. */
export function coverage(shape: InkShape, soft: Softness, grow: number, x: number, y: number): number {
  switch (shape.kind) {
    case "disc": return disc(x - shape.x, y - shape.y, shape.radius + grow, soft);
    case "ring": return disc(x - shape.x, y - shape.y, shape.outer + grow, soft) - disc(x - shape.x, y - shape.y, shape.inner - grow, soft);
    case "bar": return turnedBar(x - shape.x, y - shape.y, shape.width / 2 + grow, shape.height / 2 + grow, shape.angle, soft);
    case "cross": {
      const [u, v, long, short] = [x - shape.x, y - shape.y, shape.size / 2 + grow, shape.stroke / 2 + grow];
      return turnedBar(u, v, long, short, shape.angle, soft) + turnedBar(u, v, short, long, shape.angle, soft) - turnedBar(u, v, short, short, shape.angle, soft);
    }
    case "checker": return shape.light ? checker(shape.x - x, y - shape.y, shape.radius, grow, { ...soft, xy: -soft.xy }) : checker(x - shape.x, y - shape.y, shape.radius, grow, soft);
    case "modules": return modules(shape, x, y, grow, soft);
    case "panel": return 0;
  }
}

function disc(u: number, v: number, radius: number, soft: Softness): number {
  const r = Math.hypot(u, v);
  const sigma = r > 1e-9 ? softnessAlong(soft, u / r, v / r) : Math.sqrt(soft.xx);
  return step((radius - r) / sigma);
}

function turnedBar(u: number, v: number, halfWidth: number, halfHeight: number, angle: number, soft: Softness): number {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const a = c * u + s * v;
  const b = c * v - s * u;
  const sa = softnessAlong(soft, c, s);
  const sb = softnessAlong(soft, -s, c);
  return (step((a + halfWidth) / sa) - step((a - halfWidth) / sa)) * (step((b + halfHeight) / sb) - step((b - halfHeight) / sb));
}

/** Ink in the upper right and the lower left quarter, which are the dark ones (contract section 2): light ink has their image in the upright axis. */
function checker(u: number, v: number, radius: number, grow: number, soft: Softness): number {
  const sx = Math.sqrt(soft.xx);
  const sy = Math.sqrt(soft.yy);
  const right = step((u + grow) / sx), left = step((grow - u) / sx);
  const up = step((v + grow) / sy), down = step((grow - v) / sy);
  const both = Math.max(0, right + left - 1) * Math.max(0, up + down - 1);
  return Math.min(1, right * up + left * down - both) * disc(u, v, radius + grow, soft);
}

/** A code's modules, row 0 at the top: the share of dark in the blur's footprint, axis by axis. */
function modules(shape: Extract<InkShape, { kind: "modules" }>, x: number, y: number, grow: number, soft: Softness): number {
  const { count, dark } = shape;
  const module = shape.size / count;
  const a = (x - shape.x) / module + count / 2;
  const b = (shape.y - y) / module + count / 2;
  const sa = Math.sqrt(soft.xx) / module;
  const sb = Math.sqrt(soft.yy) / module;
  const g = grow / module;
  const reach = Math.min(4, Math.ceil(3 * Math.max(sa, sb) + g));
  let sum = 0;
  for (let j = Math.max(0, Math.floor(b) - reach); j <= Math.min(count - 1, Math.floor(b) + reach); j++) {
    const wb = step((b - j + g) / sb) - step((b - j - 1 - g) / sb);
    if (wb < 1e-4) continue;
    for (let i = Math.max(0, Math.floor(a) - reach); i <= Math.min(count - 1, Math.floor(a) + reach); i++) {
      if (dark[j * count + i]) sum += wb * (step((a - i + g) / sa) - step((a - i - 1 - g) / sa));
    }
  }
  return Math.min(1, sum);
}
