import type { Lens } from "../../core/camera/lens.ts";
import { meanScale, type Scanner, unstraighten } from "../../core/camera/scanner.ts";
import { pictureDerivative, project } from "../../core/camera/view.ts";
import type { View } from "../../core/camera/view.ts";
import { integral } from "../../core/image/normal.ts";
import type { Picture } from "../../core/image/picture.ts";
import type { Mark } from "../../core/job/schema.ts";
import { gaussian } from "./gaussian.ts";


/** A view of a target's plane: its middle `distance` mm away, tilted (rad) about the picture's x and y axes and turned. */
export function viewOf(lens: Lens, middle: { x: number; y: number }, tilt: readonly [number, number], turn: number, distance: number, shift: readonly [number, number] = [0, 0]): View {
  const [a, b] = tilt;
  const [ca, sa, cb, sb, ct, st] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b), Math.cos(turn), Math.sin(turn)];
  // Columns of Ry(b) Rx(a) diag(1, -1) Rz(turn).
  const x = [ct, -st, 0];
  const y = [-st, -ct, 0];
  const rotate = ([p, q, r]: number[]) => {
    const [q2, r2] = [ca * q - sa * r, sa * q + ca * r];
    return [cb * p + sb * r2, q2, -sb * p + cb * r2];
  };
  const [u, v] = [rotate(x), rotate(y)];
  const t = [0, 1, 2].map((i) => (i === 2 ? distance : shift[i]) - u[i] * middle.x - v[i] * middle.y);
  const column = (c: number[]) => [lens.fx * c[0] + lens.cx * c[2], lens.fy * c[1] + lens.cy * c[2], c[2]];
  const [h1, h2, h3] = [column(u), column(v), column(t)];
  return { homography: { m: [0, 1, 2].flatMap((i) => [h1[i] / h3[2], h2[i] / h3[2], h3[i] / h3[2]]) }, lens };
}

/** How a picture shows a plane: where a point lies, and the derivative there, [a, b, c, d] read [[du/dx, du/dy], [dv/dx, dv/dy]]. */
export interface Showing {
  project(x: number, y: number): { x: number; y: number };
  derivative(x: number, y: number): readonly [number, number, number, number];
}

const showingOf = (view: View): Showing => ({ project: (x, y) => project(view, x, y), derivative: (x, y) => pictureDerivative(view, x, y) });

/** The target on a scanner's glass: its middle at (x, y) mm from the middle of the area, turned by `turn` (rad), seen through the unit's faults. */
export function scanOf(scanner: Scanner, middle: { x: number; y: number }, turn: number, x = 0, y = 0): Showing {
  const [c, s, scale] = [Math.cos(turn), Math.sin(turn), meanScale(scanner)];
  const at = (px: number, py: number) => {
    const [u, v] = [px - middle.x, py - middle.y];
    // On the glass, y down.
    const glass = { x: x + c * u - s * v, y: y - s * u - c * v };
    return unstraighten(scanner, { x: (scanner.width - 1) / 2 + scale * glass.x, y: (scanner.height - 1) / 2 + scale * glass.y });
  };
  const h = 0.01;
  const derivative = (px: number, py: number): [number, number, number, number] => {
    const [e, w, n, so] = [at(px + h, py), at(px - h, py), at(px, py + h), at(px, py - h)];
    return [(e.x - w.x) / (2 * h), (n.x - so.x) / (2 * h), (e.y - w.y) / (2 * h), (n.y - so.y) / (2 * h)];
  };
  return { project: at, derivative };
}

/** Draws dots and rings as `view` shows them: each edge a step blurred by `blur` px (locally straight), in linear light, with noise. */
export function drawMarks(marks: readonly Mark[], through: View | Showing, width: number, height: number, { blur = 0.8, noise = 0.01, seed = 1 } = {}): Picture {
  const view = "homography" in through ? showingOf(through) : through;
  const light = new Float64Array(width * height).fill(0.8);
  for (const mark of marks) {
    if (mark.shape !== "dot" && mark.shape !== "ring") continue;
    const radii = mark.shape === "dot" ? [mark.diameter / 2] : [mark.outer / 2, -mark.inner / 2];
    const q = view.project(mark.x, mark.y);
    const [a, b, c, d] = view.derivative(mark.x, mark.y);
    const least = (7 * blur) / Math.sqrt(Math.abs(a * d - b * c)) * 2;
    const reach = Math.ceil(radii[0] * Math.max(Math.hypot(a, b), Math.hypot(c, d)) * 1.15 + 5 * blur);
    if (!(q.x > -reach && q.y > -reach && q.x < width + reach && q.y < height + reach)) continue;
    for (let py = Math.max(0, Math.floor(q.y - reach)); py <= Math.min(height - 1, q.y + reach); py++) {
      for (let px = Math.max(0, Math.floor(q.x - reach)); px <= Math.min(width - 1, q.x + reach); px++) {
        const p = planePoint(view, mark, [a, b, c, d], px, py);
        for (const radius of radii) light[py * width + px] -= Math.sign(radius) * 0.72 * integral(edgeDistance(view, mark, p, Math.abs(radius), least) / blur);
      }
    }
  }
  const random = gaussian(seed);
  const data = Uint8Array.from(light, (v) => Math.round(255 * coded(Math.min(1, Math.max(0, v + noise * random())))));
  return { width, height, channels: 1, data, transfer: "srgb" };
}

/** Inverse of the view near a mark: chord steps with the derivative at its centre, each ten times closer or better. */
function planePoint(view: Showing, mark: { x: number; y: number }, [a, b, c, d]: readonly number[], u: number, v: number): { x: number; y: number } {
  let { x, y } = mark;
  const det = a * d - b * c;
  for (let i = 0; i < 12; i++) {
    const q = view.project(x, y);
    const [du, dv] = [u - q.x, v - q.y];
    if (Math.abs(du) + Math.abs(dv) < 1e-5) break;
    x += (d * du - b * dv) / det;
    y += (a * dv - c * du) / det;
  }
  return { x, y };
}

/** Distance in the picture (px, + inside) of a plane point from the circle's image, to first order; infinite further off than `near` mm. */
function edgeDistance(view: Showing, mark: { x: number; y: number }, p: { x: number; y: number }, radius: number, near: number): number {
  const [dx, dy] = [p.x - mark.x, p.y - mark.y];
  const rho = Math.hypot(dx, dy) || 1e-9;
  if (Math.abs(radius - rho) > near) return radius > rho ? Infinity : -Infinity;
  const [a, b, c, d] = view.derivative(mark.x + (dx / rho) * radius, mark.y + (dy / rho) * radius);
  const det = a * d - b * c;
  // Gradient of rho by the picture point: J^-T (dx, dy) / rho.
  const gx = (d * dx - c * dy) / (rho * det);
  const gy = (-b * dx + a * dy) / (rho * det);
  return (radius - rho) / Math.hypot(gx, gy);
}

/** IEC 61966-2-1. */
function coded(v: number): number {
  return v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
}
