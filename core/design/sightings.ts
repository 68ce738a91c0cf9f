import type { CutSighting, MarkSighting } from "../check/joint.ts";
import { MARK_PRINT } from "../check/budget.ts";
import { BETWEEN_PIXELS, FLOOR_PX } from "../check/check.ts";
import { wallOf } from "../check/edgePriors.ts";
import { MOST_ALIKE } from "../check/solve.ts";
import { slitDoubt } from "../cuts/slitProfile.ts";
import { awayOf, boxOf } from "../cuts/sides.ts";
import { CORNER_CLEARANCE, MIDDLE_HALF_EFFICIENCY, piecesOf } from "../cuts/strip.ts";
import { chunkLength } from "../cuts/trace.ts";
import { factor } from "../geometry/normalEquations.ts";
import type { Covariance2, PrintPoint } from "../geometry/frames.ts";
import type { Cut, Job, Mark } from "../job/schema.ts";
import { walk, type Station } from "../job/walk.ts";
import { localMap, type LocalMap, type PlaneMap } from "../marks/localMap.ts";
import { COVERAGE_TERMS, coverageOf, reach } from "../marks/shapes.ts";
import type { Light } from "./setup.ts";
import { flatCut } from "./subpaths.ts";

/**
 * What a picture will say of marks and cuts, before there is one: the same sightings that the check makes, with the uncertainties that blur, noise and
 * what is usual in print and board leave.
 */

/** A mark as it will be seen; null where it lies outside the picture. */
export function expectedMark(mark: Mark, index: number, map: PlaneMap, light: Light): MarkSighting | null {
  const seen = map.toPicture(mark);
  const local = seen && localMap(map, seen, reach(mark));
  if (!seen || !local) return null;
  const covariance = markCovariance(mark, local, light);
  return covariance && { mark: index, print: { x: mark.x, y: mark.y }, seen, covariance };
}

/** Parameters of the fit of a mark (see marks/refine.ts): centre, gain, blur, contrast with its slopes, board with its slopes. */
const TERMS = 10;

/**
 * Covariance of a mark's centre, px^2, as the fit of marks/refine.ts has it: its design matrix over the pixels of the window, white noise, all
 * other terms free; with the floor of the pixel grid and the mark's own print added.
 */
export function markCovariance(mark: Mark, local: LocalMap, light: Light): Covariance2<"picture"> | null {
  const coverage = coverageOf(mark, local.blur);
  const inner = reach(mark) * local.scale;
  const radius = inner + Math.max(3, 3 * light.blur, 2 + 0.12 * inner);
  // Of large marks every n-th pixel stands for its neighbours.
  const step = Math.max(1, Math.floor(radius / 24));
  const uv = new Float64Array(2);
  const c = new Float64Array(COVERAGE_TERMS);
  const row = new Float64Array(TERMS);
  const matrix = new Float64Array(TERMS * TERMS);
  for (let y = -Math.ceil(radius); y <= radius; y += step) {
    for (let x = -Math.ceil(radius); x <= radius; x += step) {
      if (x * x + y * y > radius * radius) continue;
      local.toPrint(x, y, uv);
      coverage(uv[0], uv[1], 0, light.blur, c);
      row.set([-light.contrast * c[1], -light.contrast * c[2], light.contrast * c[3], light.contrast * c[4], c[0], (c[0] * x) / radius, (c[0] * y) / radius, 1, x / radius, y / radius]);
      for (let i = 0; i < TERMS; i++) for (let j = 0; j < TERMS; j++) matrix[TERMS * i + j] += row[i] * row[j];
    }
  }
  const solved = factor(matrix, TERMS);
  if ("undetermined" in solved) return null;
  const inverse = solved.inverse();
  const variance = (light.noise * step) ** 2;
  const [xx, xy, yy] = [inverse[0], inverse[1], inverse[TERMS + 1]].map((v) => v * variance);
  const [a, b, d, e] = local.derivative;
  const floor = FLOOR_PX ** 2;
  const print = MARK_PRINT ** 2;
  return {
    xx: a * a * xx + 2 * a * b * xy + b * b * yy + floor + print * (a * a + b * b),
    xy: a * d * xx + (a * e + b * d) * xy + b * e * yy + print * (a * d + b * e),
    yy: d * d * xx + 2 * d * e * xy + e * e * yy + floor + print * (d * d + e * e),
  };
}

/** More chunks than this do not sharpen a prediction. */
const MOST_CHUNKS = 1500;
/** Stations that a chunk is walked by. */
const PER_CHUNK = 8;
/** Width of a slit, mm, and how much darker than the board it is, linear light (common practice, no source). */
const SLIT = 0.3;
const DEPTH = 0.5;
/** A blade's path wanders, and board's edge is uneven, by about this over a chunk, mm (from memory; no source). */
const CHUNK_WANDER = 0.008;
/**
 * What lips leave among the chunks, as a share: of the biases of the four sides of a piece two pass for an offset and one is fitted as all edges' own (see `edgeBias`
 * in check/joint.ts), so that of their variance a quarter is left to scatter.
 */
const LIP_LEFT = 0.5;

/** The standard uncertainty that the lip of the slits leaves, mm. */
export function expectedLip(job: Job, light: Light, pxPerMm: number): number {
  return job.state === "in-sheet" && job.cuts.some((c) => c.kind === "cut" && !("circle" in c)) ? slitDoubt(SLIT, DEPTH, light.blur / pxPerMm) : 0;
}

/** A cut's chunks as they will be seen, in the pieces in which the check looks at them; those outside the picture left out. */
export function expectedCuts(job: Job, map: PlaneMap, light: Light, pxPerMm: number, flat: boolean): CutSighting[] {
  const wall = wallOf(job, flat);
  const lip = LIP_LEFT * slitDoubt(SLIT, DEPTH, light.blur / pxPerMm);
  const paths = job.cuts.filter((c) => c.kind === "cut").flatMap((cut) => flatCut(cut).subpaths.map((subpath) => ({ cut, kind: cut.kind, subpath, closed: subpath.closed, box: boxOf(subpath.points) })));
  const pieces = paths.flatMap((path) => {
    const { cut, subpath } = path;
    const step = isStep(job, cut, subpath.closed);
    const away = awayOf(path, paths, step && job.state === "in-sheet");
    const edge = away === 0 ? {} : { edge: step ? "step" as const : "line" as const, away };
    const chunk = chunkLength(subpath.length);
    const stations = walk(subpath, chunk / PER_CHUNK);
    return piecesOf(stations, chunk).map(({ from, to }) => ({ stations: stations.slice(from, to), spacing: subpath.length / stations.length, step, edge }));
  });
  // Of very many chunks every n-th speaks for its neighbours.
  const share = Math.max(1, Math.round(pieces.length / MOST_CHUNKS));
  return pieces.filter((_, k) => k % share === 0).flatMap(({ stations, spacing, step, edge }) => {
    const length = spacing * stations.filter((s) => s.corner >= CORNER_CLEARANCE).length;
    if (length === 0) return [];
    const sighting = sightingOf(stations, map, chunkSigma(step, length, light, pxPerMm, step ? wall : lip) / Math.sqrt(share), pxPerMm);
    return sighting ? [{ ...sighting, ...edge }] : [];
  });
}

/** An edge against the background: a lost slug, a stripped outline; else the cut is a line. */
function isStep(job: Job, cut: Cut, closed: boolean): boolean {
  return "circle" in cut || (job.state === "stripped" && closed);
}

/**
 * Standard uncertainty of a chunk across, mm, with what the check grants for neighbours being alike. White noise of n on a profile of width w along L px leaves a
 * Gaussian line of amplitude A known to n^2 2 w/(A^2 sqrt(pi) L), a blurred step of height A to n^2 2 sqrt(pi) w/(A^2 L), px^2 (Cramer-Rao). `edge`: what the wall
 * leaves to a step, or the lips to each of a line's chunks, mm.
 */
function chunkSigma(step: boolean, length: number, light: Light, pxPerMm: number, edge: number): number {
  const along = MIDDLE_HALF_EFFICIENCY * length * pxPerMm;
  const slit = SLIT * pxPerMm;
  const w = step ? light.blur : Math.hypot(light.blur, slit / Math.sqrt(12));
  const amplitude = step ? DEPTH : Math.min(DEPTH, (DEPTH * slit) / (Math.sqrt(2 * Math.PI) * w));
  const shape = step ? 2 * Math.sqrt(Math.PI) * w : (2 * w) / Math.sqrt(Math.PI);
  const noise = (light.noise / amplitude) * Math.sqrt(shape / along);
  return Math.hypot(noise / pxPerMm, BETWEEN_PIXELS / pxPerMm, CHUNK_WANDER, step ? edge : Math.sqrt(MOST_ALIKE) * edge);
}

function sightingOf(stations: readonly Station[], map: PlaneMap, sigma: number, pxPerMm: number): CutSighting | null {
  const { x, y, tx, ty } = stations[stations.length >> 1];
  const print: PrintPoint = { x, y };
  const seen = map.toPicture(print);
  const mean = (pick: (s: Station) => number) => stations.reduce((sum, s) => sum + pick(s), 0) / stations.length;
  return seen && { print, nx: mean((s) => s.nx), ny: mean((s) => s.ny), tx, ty, curvature: 0, seen, sigma, scale: pxPerMm };
}
