import type { ViewFrame } from "../check/view/viewModel.ts";
import { TERM_COUNT } from "../check/view/viewModel.ts";
import { layoutFrame } from "../marks/layoutFit.ts";
import type { Job } from "../job/schema.ts";
import type { PrintPoint } from "../geometry/frames.ts";
import { opticsOf, type Optics, type Setup } from "./setup.ts";

/** The sheet as the camera will see it: the view's terms (see check/view/viewModel.ts) in the frame of the check. */
export interface Viewpoint {
  readonly optics: Optics;
  readonly frame: ViewFrame;
  readonly terms: Float64Array;
  /** px per mm at the sheet's centre. */
  readonly pxPerMm: number;
  /** Distance of the camera from the sheet's centre, mm; null for a scanner. */
  readonly distance: number | null;
}

export type NoView = { readonly ok: false; readonly reason: string; readonly hint: string };

/** Share of the picture that a sheet fills where its distance is left open. */
const FILL = 0.9;

/**
 * Places the camera before the sheet: over its centre, leaning by the optics' tilt across the picture's longer side, the sheet's longer side along
 * the picture's. A refusal where the sheet does not fit into the picture.
 */
export function viewpointOf(job: Pick<Job, "sheet" | "marks">, setup: Setup): ({ readonly ok: true } & Viewpoint) | NoView {
  const optics = opticsOf(setup);
  const { width: w, height: h } = job.sheet;
  if (optics.focal === null) return scannerView(job, optics);
  const quarter = h > w !== optics.height > optics.width;
  const [across, up] = quarter ? [h, w] : [w, h];
  const nearest = Math.max((across * optics.focal) / optics.width, (up * optics.focal) / optics.height);
  const asked = setup.kind === "scanner" ? undefined : setup.distance;
  if (asked !== undefined && !(asked > 0)) return { ok: false, reason: "The camera's distance is not a length.", hint: "Give it in mm, as 600." };
  if (asked !== undefined && asked < nearest) {
    return { ok: false, reason: `From ${Math.round(asked)} mm the camera does not see the whole sheet of ${w} x ${h} mm.`, hint: `Stand at least ${Math.ceil(nearest / FILL / 10) * 10} mm away.` };
  }
  const distance = asked ?? nearest / FILL;
  const frame = frameOf(job, optics);
  const lean = (optics.tilt * Math.PI) / 180;
  // Rows of the turn from print axes (x right, y up) to camera axes (x right, y down, z away), leaning about the camera's y axis.
  const [rx, ry] = quarter ? [[0, 1], [1, 0]] : [[1, 0], [0, -1]];
  const [c, s] = [Math.cos(lean), Math.sin(lean)];
  const right = [c * rx[0], c * rx[1]];
  const away = [-s * rx[0], -s * rx[1]];
  const homography = (p: PrintPoint): [number, number, number] => {
    const [x, y] = [p.x - w / 2, p.y - h / 2];
    return [(optics.focal ?? 0) * (right[0] * x + right[1] * y), (optics.focal ?? 0) * (ry[0] * x + ry[1] * y), away[0] * x + away[1] * y + distance];
  };
  const terms = termsOf(homography, frame);
  return { ok: true, optics, frame, terms, pxPerMm: (optics.focal / distance) * Math.sqrt(c), distance };
}

function scannerView(job: Pick<Job, "sheet" | "marks">, optics: Optics): { readonly ok: true } & Viewpoint {
  const scale = optics.pxPerMm ?? 1;
  const { width: w, height: h } = job.sheet;
  const size = optics.width > 0 ? optics : { ...optics, width: Math.round(w * scale), height: Math.round(h * scale) };
  const frame = frameOf(job, size);
  return { ok: true, optics: size, frame, terms: termsOf((p) => [scale * (p.x - w / 2), -scale * (p.y - h / 2), 1], frame), pxPerMm: scale, distance: null };
}

/** The check's own frame where there are marks to make it of, else one of the sheet's size. */
function frameOf(job: Pick<Job, "sheet" | "marks">, picture: { readonly width: number; readonly height: number }): ViewFrame {
  const { width, height } = job.sheet;
  const usable = job.marks.length >= 3 && Math.max(...job.marks.map((m) => m.x)) > Math.min(...job.marks.map((m) => m.x));
  return layoutFrame(usable ? job.marks : [{ x: 0, y: 0 }, { x: width, y: height }], picture);
}

/** The view's terms of a homography that is given by its homogeneous values, picture px from the middle. */
function termsOf(homography: (p: PrintPoint) => readonly [number, number, number], { print, picture }: ViewFrame): Float64Array {
  const at = (X: number, Y: number) => homography({ x: print.x + X * print.half, y: print.y + Y * print.half });
  const [o, x, y] = [at(0, 0), at(1, 0), at(0, 1)];
  const terms = new Float64Array(TERM_COUNT);
  [[x[0] - o[0], y[0] - o[0], o[0]], [x[1] - o[1], y[1] - o[1], o[1]]].forEach((row, i) => row.forEach((v, k) => (terms[3 * i + k] = v / (o[2] * picture.half))));
  terms[6] = (x[2] - o[2]) / o[2];
  terms[7] = (y[2] - o[2]) / o[2];
  return terms;
}
