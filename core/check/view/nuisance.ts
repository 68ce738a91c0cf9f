import { DISTORTED, distortWithDerivatives, LENS_PARAMETERS, undistort } from "../../camera/lens.ts";
import type { ProfileMatch } from "../../camera/match.ts";
import { SCANNER_PARAMETERS, straighten, unstraighten, type Scanner } from "../../camera/scanner.ts";
import { pictureDerivative, type View } from "../../camera/view.ts";
import type { PicturePoint } from "../../geometry/frames.ts";
import { apply, invert } from "../../geometry/transform.ts";
import type { Job } from "../../job/schema.ts";
import type { Eye } from "../../witness/eye.ts";
import type { LensMap } from "./viewModel.ts";

/**
 * What displaces all that a picture shows, smoothly, and is known only within bounds. Each of its `count` fields over the ideal picture counts with an unknown factor of mean 0
 * and standard deviation 1; the joint fit finds the factors as far as marks and cuts tell them, and its covariance holds what they leave open.
 */
export interface Nuisance {
  readonly source: "lens profile" | "board not flat";
  readonly count: number;
  /** Displacement, px, of what is seen at `q` (ideal picture) for a factor of one: count pairs into `out` from `at`. */
  shift(q: PicturePoint, out: number[], at: number): void;
}

export function countOf(nuisances: readonly Nuisance[]): number {
  return nuisances.reduce((n, { count }) => n + count, 0);
}

/** The displacements at `q` of all fields, one pair after the other. */
export function shiftsAt(nuisances: readonly Nuisance[], q: PicturePoint): number[] {
  const out: number[] = [];
  let at = 0;
  for (const n of nuisances) {
    n.shift(q, out, at);
    at += 2 * n.count;
  }
  return out;
}

/** The lens together with the displacements that the fit found: what the fit's view maps to. */
export function correctedLens(lens: LensMap | null, nuisances: readonly Nuisance[], factors: Float64Array): LensMap | null {
  if (factors.length === 0) return lens;
  const moved = (q: PicturePoint): PicturePoint => movedAt(nuisances, factors, q);
  return {
    undistort: (q) => {
      const seen = lens ? lens.undistort(q) : q;
      if (!seen) return null;
      const d = moved(seen);
      return { x: seen.x - d.x, y: seen.y - d.y };
    },
    distort: (p) => {
      // The fields are known where things are seen; two steps find that place to far below a thousandth of a pixel.
      const first = moved(p);
      const d = moved({ x: p.x + first.x, y: p.y + first.y });
      const seen = { x: p.x + d.x, y: p.y + d.y };
      return lens ? lens.distort(seen) : seen;
    },
  };
}

/** By how much all fields together move what is seen at `q`. */
function movedAt(nuisances: readonly Nuisance[], factors: Float64Array, q: PicturePoint): PicturePoint {
  const shifts = shiftsAt(nuisances, q);
  let [x, y] = [0, 0];
  for (let k = 0; k < factors.length; k++) {
    x += factors[k] * shifts[2 * k];
    y += factors[k] * shifts[2 * k + 1];
  }
  return { x, y };
}

/** Parts of a profile's uncertainty that move no point of the picture by more than this, px, are left out. */
const NEGLIGIBLE = 0.002;

/** What a profile's covariance leaves open of its lens or scanner. */
export function profileNuisance(match: ProfileMatch | null, width: number, height: number): Nuisance[] {
  if (!match || match.kind === "none") return [];
  const count = match.kind === "camera" ? LENS_PARAMETERS.length : SCANNER_PARAMETERS.length;
  const single = match.kind === "camera" ? lensShift(match.lens) : scannerShift(match.scanner);
  const corner = new Float64Array(2 * count);
  single({ x: 0.03 * width, y: 0.03 * height }, corner);
  const effects = Array.from({ length: count }, (_, i) => Math.hypot(corner[2 * i], corner[2 * i + 1]));
  const columns = mainColumns(match.covariance, effects);
  if (columns.length === 0) return [];
  const each = new Float64Array(2 * count);
  return [{
    source: "lens profile", count: columns.length,
    shift: (q, out, at) => {
      single(q, each);
      columns.forEach((column, k) => {
        let [x, y] = [0, 0];
        for (let i = 0; i < count; i++) {
          x += column[i] * each[2 * i];
          y += column[i] * each[2 * i + 1];
        }
        out[at + 2 * k] = x;
        out[at + 2 * k + 1] = y;
      });
    },
  }];
}

type Single = (q: PicturePoint, out: Float64Array) => void;

/** By how much a lens whose terms are each one larger than the profile's moves what is seen at an ideal point. */
function lensShift(lens: Extract<ProfileMatch, { kind: "camera" }>["lens"]): Single {
  const d = new Float64Array(DISTORTED.length);
  return (q, out) => {
    distortWithDerivatives(lens, q.x, q.y, d);
    const [a, b, c, e] = d.subarray(DISTORTED.byPoint, DISTORTED.byPoint + 4);
    const det = a * e - b * c;
    for (let i = 0; i < LENS_PARAMETERS.length; i++) {
      const [x, y] = [d[DISTORTED.xByLens + i], d[DISTORTED.yByLens + i]];
      out[2 * i] = (e * x - b * y) / det;
      out[2 * i + 1] = (a * y - c * x) / det;
    }
  };
}

/** The same for a scanner, by differences as small as its terms usually are. */
function scannerShift(scanner: Scanner): Single {
  const step = 1e-3;
  const { pxPerMm, squareness, bow, run } = scanner;
  const others: readonly Scanner[] = [
    { ...scanner, pxPerMm: { ...pxPerMm, x: pxPerMm.x + step } }, { ...scanner, pxPerMm: { ...pxPerMm, y: pxPerMm.y + step } }, { ...scanner, squareness: squareness + step },
    { ...scanner, bow: { ...bow, x: bow.x + step } }, { ...scanner, bow: { ...bow, y: bow.y + step } }, { ...scanner, run: { ...run, x: run.x + step } }, { ...scanner, run: { ...run, y: run.y + step } },
  ];
  return (q, out) => others.forEach((other, i) => {
    const p = straighten(scanner, unstraighten(other, q));
    out[2 * i] = (p.x - q.x) / step;
    out[2 * i + 1] = (p.y - q.y) / step;
  });
}

/**
 * Columns of a factor F of the covariance, F F' = C, the one that moves points most first (Cholesky's method with pivots; `effects`: px per unit of each term),
 * until what is left moves nothing.
 */
function mainColumns(covariance: readonly (readonly number[])[], effects: readonly number[]): number[][] {
  const n = effects.length;
  const rest = covariance.map((row, i) => row.map((v, j) => v * effects[i] * effects[j]));
  const columns: number[][] = [];
  for (let k = 0; k < n; k++) {
    const pivot = rest.reduce((best, row, i) => (row[i] > rest[best][best] ? i : best), 0);
    const variance = rest[pivot][pivot];
    if (!(variance > NEGLIGIBLE ** 2)) break;
    const column = rest.map((row) => row[pivot] / Math.sqrt(variance));
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) rest[i][j] -= column[i] * column[j];
    columns.push(column.map((v, i) => (effects[i] > 0 ? v / effects[i] : 0)));
  }
  return columns;
}

/**
 * How high a board that lies on a table stands up at its edges over its middle or the other way, mm (standard deviation, for each way to bend: along, across, twisted; common
 * practice, no source).
 */
const BOW = 0.5;

/** How high a board that stands up in waves does so, mm (standard deviation, for each wave; common practice, no source), and from the longest to the shortest: so many to a sheet. */
const WAVE = 0.2;
const WAVES = [0.5, 1, 1.5, 2, 2.5];

/**
 * A board that is not flat, seen by a camera from `eye`: what lies z above the sheet's plane is seen as if it lay in it, off by z times the tangent of the angle at
 * which it is seen, away from the point under the camera. The board is bent like a plate: a surface of second degree.
 */
export function boardNuisance(sheet: Job["sheet"], view: View, eye: Eye, bow = BOW): Nuisance {
  return standingUp(sheet, view, eye, 3, (X, Y, out) => out.set([bow * X * X, bow * Y * Y, bow * X * Y]));
}

/** A board that stands up in waves along or across the sheet, as its flutes or its liner's tension leave it. */
export function wavyNuisance(sheet: Job["sheet"], view: View, eye: Eye): Nuisance {
  return standingUp(sheet, view, eye, 4 * WAVES.length, (X, Y, out) => {
    for (let k = 0; k < WAVES.length; k++) {
      const [x, y] = [Math.PI * WAVES[k] * X, Math.PI * WAVES[k] * Y];
      out[4 * k] = WAVE * Math.cos(x);
      out[4 * k + 1] = WAVE * Math.sin(x);
      out[4 * k + 2] = WAVE * Math.cos(y);
      out[4 * k + 3] = WAVE * Math.sin(y);
    }
  });
}

/** Whether the board stands up in waves, besides being bent. */
export function inWaves(nuisances: readonly Nuisance[]): boolean {
  return nuisances.filter((n) => n.source === "board not flat").length > 1;
}

/** @param rise writes the heights, mm, of each way to stand up at (X, Y), -1 to 1 over the sheet. */
function standingUp({ width, height }: Job["sheet"], view: View, eye: Eye, count: number, rise: (X: number, Y: number, out: Float64Array) => void): Nuisance {
  const back = invert(view.homography);
  const heights = new Float64Array(count);
  // Worked out here once: this is asked for every sighting.
  const onSheet = (q: PicturePoint): { x: number; y: number } => {
    const ideal = view.lens ? undistort(view.lens, q.x, q.y) : null;
    const { x, y } = ideal?.ok ? ideal : q;
    return back ? apply(back, x, y) : { x: width / 2, y: height / 2 };
  };
  return {
    source: "board not flat", count,
    shift: (q, out, at) => {
      const p = onSheet(q);
      const [a, b, c, d] = pictureDerivative(view, p.x, p.y);
      const [dx, dy] = [(p.x - eye.x) / eye.z, (p.y - eye.y) / eye.z];
      const [u, v] = [a * dx + b * dy, c * dx + d * dy];
      rise((2 * p.x) / width - 1, (2 * p.y) / height - 1, heights);
      for (let k = 0; k < count; k++) {
        out[at + 2 * k] = heights[k] * u;
        out[at + 2 * k + 1] = heights[k] * v;
      }
    },
  };
}
