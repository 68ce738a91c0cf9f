import { distort, undistort, type Lens } from "../camera/lens.ts";
import type { PicturePoint } from "../geometry/frames.ts";

/** Where board points appear in the picture and back. Board: mm, y up, z towards the viewer (0 = printed side). */
export interface Imaging {
  readonly width: number;
  readonly height: number;
  /** Board to picture, pixels. */
  toPicture(x: number, y: number, z?: number): PicturePoint;
  /** Picture to the board plane at height z, written to out[0], out[1]. NaN where the lens can have shown nothing. */
  toBoard(u: number, v: number, z: number, out: Float64Array): void;
}

export interface CameraSetup {
  readonly kind: "camera";
  readonly width: number;
  readonly height: number;
  /** Focal length, picture pixels; the principal point's distance from the picture's middle, pixels. */
  readonly focal: number;
  readonly principal: { readonly x: number; readonly y: number };
  readonly lens: { readonly k1: number; readonly k2: number; readonly p1: number; readonly p2: number };
  /** Degrees: how far the optical axis leans from the sheet's normal, and towards where (in the picture, counter-clockwise from right). */
  readonly tilt: number;
  readonly towards: number;
  /** Degrees, counter-clockwise as seen, from the picture's up to the print's +y. */
  readonly turn: number;
  readonly mirrored: boolean;
  /** Share of the picture's width or height that the framed area fills, whichever is filled more. */
  readonly fill: number;
}

export interface ScannerSetup {
  readonly kind: "scanner";
  /** Pixels per inch as stated. */
  readonly dpi: number;
  /** True scale against the stated one, mm/m, across and along the carriage's travel; their departure from square, mm/m. */
  readonly scale: { readonly x: number; readonly y: number };
  readonly skew: number;
  /** Sideways bow of the carriage's path over the picture's height, mm. */
  readonly bow: number;
  readonly turn: number;
  readonly mirrored: boolean;
  /** Glass left free around the sheet, mm. */
  readonly margin: number;
}

/** The area that the picture frames: board mm. */
export interface Framed {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** How a camera or scanner sees the board, the framed area filling the picture. */
export function imagingOf(setup: CameraSetup | ScannerSetup, framed: Framed): Imaging {
  const plain = setup.kind === "camera" ? camera(setup, framed) : scanner(setup, framed);
  if (!setup.mirrored) return plain;
  const last = plain.width - 1;
  return {
    ...plain,
    toPicture: (x, y, z) => {
      const p = plain.toPicture(x, y, z);
      return { x: last - p.x, y: p.y };
    },
    toBoard: (u, v, z, out) => plain.toBoard(last - u, v, z, out),
  };
}

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** A pinhole with a Brown-Conrady lens, placed so that the framed area fills the picture as asked. */
function camera(setup: CameraSetup, framed: Framed): Imaging {
  const { width, height, focal } = setup;
  const lens: Lens = { fx: focal, fy: focal, cx: (width - 1) / 2 + setup.principal.x, cy: (height - 1) / 2 + setup.principal.y, k3: 0, ...setup.lens };
  const bent = lens.k1 !== 0 || lens.k2 !== 0 || lens.p1 !== 0 || lens.p2 !== 0;
  const R = pose(setup);
  const centre = { x: (framed.x0 + framed.x1) / 2, y: (framed.y0 + framed.y1) / 2 };
  // Camera coordinates of the framed area's centre; found by placing the area's seen box in the picture.
  let tx = 0, ty = 0, tz = (focal * Math.max(framed.x1 - framed.x0, framed.y1 - framed.y0)) / width;

  const toPicture = (x: number, y: number, z = 0): PicturePoint => {
    const p = x - centre.x;
    const q = y - centre.y;
    const depth = R[6] * p + R[7] * q + R[8] * z + tz;
    const u = lens.cx + (focal * (R[0] * p + R[1] * q + R[2] * z + tx)) / depth;
    const v = lens.cy + (focal * (R[3] * p + R[4] * q + R[5] * z + ty)) / depth;
    return bent ? distort(lens, u, v) : { x: u, y: v };
  };
  for (let i = 0; i < 40; i++) {
    const seen = outline(framed).map(([x, y]) => toPicture(x, y));
    const xs = seen.map((p) => p.x);
    const ys = seen.map((p) => p.y);
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const grow = Math.max((right - left) / width, (bottom - top) / height) / setup.fill;
    tx -= (((left + right) / 2 - (width - 1) / 2) * tz) / focal;
    ty -= (((top + bottom) / 2 - (height - 1) / 2) * tz) / focal;
    tz *= Math.sqrt(grow);
    tx *= Math.sqrt(grow);
    ty *= Math.sqrt(grow);
  }

  const ox = centre.x - (R[0] * tx + R[3] * ty + R[6] * tz);
  const oy = centre.y - (R[1] * tx + R[4] * ty + R[7] * tz);
  const oz = -(R[2] * tx + R[5] * ty + R[8] * tz);
  return {
    width, height, toPicture,
    toBoard(u, v, z, out) {
      let x = u;
      let y = v;
      if (bent) {
        const ideal = undistort(lens, u, v);
        if (!ideal.ok) {
          out[0] = out[1] = Number.NaN;
          return;
        }
        x = ideal.x;
        y = ideal.y;
      }
      const a = (x - lens.cx) / focal;
      const b = (y - lens.cy) / focal;
      const t = (z - oz) / (R[2] * a + R[5] * b + R[8]);
      out[0] = ox + t * (R[0] * a + R[3] * b + R[6]);
      out[1] = oy + t * (R[1] * a + R[4] * b + R[7]);
    },
  };
}

/** Rotation from board axes to camera axes (x right, y down, z away), rows first: lean * (facing down) * turn. */
function pose(setup: CameraSetup): readonly number[] {
  const [c, s] = [Math.cos(radians(setup.turn)), Math.sin(radians(setup.turn))];
  const facing = [c, -s, 0, -s, -c, 0, 0, 0, -1];
  const [ct, st] = [Math.cos(radians(setup.tilt)), Math.sin(radians(setup.tilt))];
  // Rodrigues' formula about an axis in the picture plane, square to the direction of lean.
  const kx = Math.sin(radians(setup.towards));
  const ky = Math.cos(radians(setup.towards));
  const lean = [ct + kx * kx * (1 - ct), kx * ky * (1 - ct), ky * st, kx * ky * (1 - ct), ct + ky * ky * (1 - ct), -kx * st, -ky * st, kx * st, ct];
  return Array.from({ length: 9 }, (_, i) => {
    const row = i - (i % 3);
    const column = i % 3;
    return lean[row] * facing[column] + lean[row + 1] * facing[3 + column] + lean[row + 2] * facing[6 + column];
  });
}

/** Points round the framed area: a bent lens shows its sides as curves. */
function outline(f: Framed): [number, number][] {
  return Array.from({ length: 8 }, (_, i) => i / 8).flatMap((t): [number, number][] => [
    [f.x0 + t * (f.x1 - f.x0), f.y0], [f.x1, f.y0 + t * (f.y1 - f.y0)],
    [f.x1 - t * (f.x1 - f.x0), f.y1], [f.x0, f.y1 - t * (f.y1 - f.y0)],
  ]);
}

/** Parallel view; the carriage travels down the picture. */
function scanner(setup: ScannerSetup, framed: Framed): Imaging {
  const perMm = setup.dpi / 25.4;
  const [c, s] = [Math.cos(radians(setup.turn)), Math.sin(radians(setup.turn))];
  const centre = { x: (framed.x0 + framed.x1) / 2, y: (framed.y0 + framed.y1) / 2 };
  const w = framed.x1 - framed.x0;
  const h = framed.y1 - framed.y0;
  const width = Math.round((Math.abs(c) * w + Math.abs(s) * h + 2 * setup.margin) * perMm);
  const height = Math.round((Math.abs(s) * w + Math.abs(c) * h + 2 * setup.margin) * perMm);
  const gx = perMm * (1 + setup.scale.x / 1000);
  const gy = perMm * (1 + setup.scale.y / 1000);
  const k = setup.skew / 1000;
  const bowAt = (v: number): number => setup.bow * perMm * Math.sin((Math.PI * v) / height);
  return {
    width, height,
    toPicture(x, y) {
      const a = c * (x - centre.x) - s * (y - centre.y);
      const b = s * (x - centre.x) + c * (y - centre.y);
      const v = (height - 1) / 2 - gy * b;
      return { x: (width - 1) / 2 + gx * (a + k * b) + bowAt(v), y: v };
    },
    toBoard(u, v, _z, out) {
      const b = ((height - 1) / 2 - v) / gy;
      const a = (u - bowAt(v) - (width - 1) / 2) / gx - k * b;
      out[0] = centre.x + c * a + s * b;
      out[1] = centre.y - s * a + c * b;
    },
  };
}
