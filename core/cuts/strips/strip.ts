import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import type { Sampler } from "../../image/sampler.ts";
import type { Station } from "../../job/walk.ts";

/** A short piece of path with the light across it, averaged along it. */
export interface Chunk {
  /** Middle of the piece: distance along the subpath, place, unit normal. */
  readonly s: number;
  readonly length: number;
  readonly x: number;
  readonly y: number;
  /** Mean of the unit normals over the piece: shorter than one where the path bends, as the mean deviation of a shift is smaller there. */
  readonly nx: number;
  readonly ny: number;
  /** Unit tangent at the middle, and the curvature, 1/mm, positive where the path bends away from its normal (a convex outline). */
  readonly tx: number;
  readonly ty: number;
  readonly curvature: number;
  /** Linear light at t = -reach + i * step along the normal, NaN where unseen. */
  readonly profile: Float32Array;
  /** Stations averaged; 0 where the piece lies outside the picture or too near a corner. */
  readonly stations: number;
  /** True where all of the piece lies too near to a corner, or to its path's end, to be looked at. */
  readonly atCorner?: boolean;
  /** So many chunks show the same profile, the mean of theirs (absent: it is its own). */
  readonly shared?: number;
  /** Direction of the normal in the picture (unit vector, px) and px per mm along it. */
  readonly ux: number;
  readonly uy: number;
  readonly scale: number;
  /** How far the board's wall is seen beside its face's edge, mm along the normal with its sign; absent or 0 where it is hidden. */
  readonly wall?: number;
  /** How much lighter it gets from that wall to what lies beyond its end, linear light, as other chunks that face the same way show it; absent where they do not (see wallEnds.ts). */
  readonly wallEnd?: number;
  /** How bright the light is there, relative to the sheet's middle (default 1; see lightField.ts). */
  readonly light?: number;
  /** Light of the bare board in the plane that the profile is of (default 1: white, fully lit; see bareBoard.ts). */
  readonly bare?: number;
  /** True where the profile is of hues, differences of colour planes, more than of light. */
  readonly hued?: boolean;
  /** The light of the slit itself, as its depth and lips show it: print that is darker shows the slit as a bright line (absent: none; see slitLight.ts). */
  readonly own?: number;
  /** The same place in each colour plane (see colours.ts); absent in a grey picture. */
  readonly colours?: Colours;
}

/** The light across a piece of path in each colour plane, `half` samples of `step` mm to either side of t mm: means along it, NaN where unseen. */
export type Colours = (t: number, half: number, step: number) => Float64Array[];

/** How the strip along a path is sampled. */
export interface StripGrid {
  /** Half width, mm. */
  readonly reach: number;
  /** Step across, mm. */
  readonly step: number;
  /** Samples across: 2 reach / step + 1. */
  readonly count: number;
  /** How unlike the ground may be on a line's two sides, as a share of its depth (standard deviation); 0 where its lips are fitted instead (see lip.ts). */
  readonly uneven: number;
}

export function stripGrid(reach: number, pxPerMm: number, uneven = 0): StripGrid {
  const half = Math.ceil(reach / Math.max(0.5 / pxPerMm, 0.05));
  return { reach, step: reach / half, count: 2 * half + 1, uneven };
}

/** Nearer to a corner than this, mm, the other leg of the corner is in the profile. */
export const CORNER_CLEARANCE = 0.8;

/** The plane in which a piece of path is looked at. */
export interface Plane {
  readonly sampler: Sampler;
  /** Light of the bare board in it, fully lit. */
  readonly bare: number;
  /** Whether it shows hues more than light. */
  readonly hued: boolean;
}

/**
 * Samples the strip along the stations and averages it in pieces of about `chunk` mm. The average at each distance across is
 * the mean of the middle half of the stations: artwork that crosses the path is left out by it, what runs along stays. `planeFor` gives the plane for a piece, `coloursFor` what looks at it in each colour.
 */
export function sampleStrip(
  planeFor: (piece: readonly Station[]) => Plane, stations: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null, grid: StripGrid, chunk: number,
  coloursFor?: ((piece: readonly Station[]) => Colours) | null,
): Chunk[] {
  const spacing = spacingOf(stations);
  const rows: Rows = { count: grid.count, light: new Float32Array(0), column: new Float64Array(0) };
  return piecesOf(stations, chunk).map(({ from, to }) => {
    const piece = stations.slice(from, to);
    const average = averageOf(planeFor(piece), piece, toPicture, grid, rows, piece.length * spacing);
    return coloursFor ? { ...average, colours: coloursFor(piece) } : average;
  });
}

/** The stations from..to (to not included) of each piece of about `chunk` mm: none holds a corner. */
export function piecesOf(stations: readonly Station[], chunk: number): { from: number; to: number }[] {
  const spacing = spacingOf(stations);
  return edges(stations).flatMap(([start, end]) => {
    const pieces = Math.max(1, Math.round(((end - start) * spacing) / chunk));
    const at = (piece: number): number => start + Math.floor(((end - start) * piece) / pieces);
    return Array.from({ length: pieces }, (_, k) => ({ from: at(k), to: at(k + 1) })).filter(({ from, to }) => to > from);
  });
}

/** Way from station to station, mm. */
function spacingOf(stations: readonly Station[]): number {
  return stations.length > 1 ? (stations[stations.length - 1].s - stations[0].s) / (stations.length - 1) : 2 * (stations[0]?.s ?? 0);
}

/** A corner lies between two stations where the ways from both to their nearest corners are as long as the way between them. */
export function bentBetween(a: Station, b: Station): boolean {
  return a.corner + b.corner < 1.001 * (b.s - a.s);
}

/** Runs of stations between corners: both legs of a corner in one profile would draw two cuts. Those that lie too near to one all along show nothing; they are left out where there are others. */
function edges(stations: readonly Station[]): [from: number, to: number][] {
  const runs: [number, number][] = [];
  let from = 0;
  for (let i = 1; i <= stations.length; i++) {
    if (i < stations.length && !bentBetween(stations[i - 1], stations[i])) continue;
    runs.push([from, i]);
    from = i;
  }
  const clear = runs.filter(([start, end]) => stations.slice(start, end).some(({ corner }) => corner >= CORNER_CLEARANCE));
  return clear.length > 0 ? clear : runs;
}

function averageOf({ sampler, bare, hued }: Plane, piece: readonly Station[], toPicture: (p: PrintPoint) => PicturePoint | null, grid: StripGrid, rows: Rows, length: number): Chunk {
  const middle = piece[piece.length >> 1];
  const { count } = rows;
  if (rows.column.length < piece.length) {
    rows.light = new Float32Array(piece.length * count);
    rows.column = new Float64Array(piece.length);
  }
  let used = 0;
  for (const { x, y, nx, ny, corner } of piece) {
    if (corner < CORNER_CLEARANCE) continue;
    const a = toPicture({ x: x - grid.reach * nx, y: y - grid.reach * ny });
    const b = toPicture({ x: x + grid.reach * nx, y: y + grid.reach * ny });
    const m = toPicture({ x, y });
    if (!a || !m || !b) continue;
    sampleAcross(sampler, a, m, b, rows, used);
    if (!Number.isNaN(rows.light[used * count + (count >> 1)])) used++;
  }
  const profile = new Float32Array(grid.count);
  for (let t = 0; t < grid.count; t++) profile[t] = middleMean(rows, used, t);
  const { nx, ny, turn } = meanNormal(piece);
  const a = toPicture({ x: middle.x - middle.nx, y: middle.y - middle.ny });
  const b = toPicture({ x: middle.x + middle.nx, y: middle.y + middle.ny });
  const span = a && b ? Math.hypot(b.x - a.x, b.y - a.y) : 0;
  return {
    s: middle.s, length, x: middle.x, y: middle.y, nx, ny, tx: middle.tx, ty: middle.ty,
    curvature: turn / Math.max(length, 1e-9), profile, bare, ...(hued ? { hued } : {}), ...(piece.every(({ corner }) => corner < CORNER_CLEARANCE) ? { atCorner: true } : {}), stations: span > 0 ? used : 0,
    ux: a && b && span > 0 ? (b.x - a.x) / span : 0, uy: a && b && span > 0 ? (b.y - a.y) / span : 0, scale: span / 2,
  };
}

/** Light along the rows of a piece, one after the other, each of `count` samples; room that is used again and again. */
interface Rows {
  readonly count: number;
  light: Float32Array;
  /** Of one place across, sorted. */
  column: Float64Array;
}

/** Samples a row of an odd number of points from a by m, its middle, to b: on the parabola through them, as perspective and lens bend and stretch the row. */
function sampleAcross(sampler: Sampler, a: PicturePoint, m: PicturePoint, b: PicturePoint, { count, light }: Rows, row: number): void {
  const half = (count - 1) / 2;
  const bend = { x: (a.x - 2 * m.x + b.x) / half ** 2, y: (a.y - 2 * m.y + b.y) / half ** 2 };
  const slope = (from: number, to: number, second: number): number => (to - from) / (2 * half) - (second * (2 * half - 1)) / 2;
  sampler.line(a.x, a.y, slope(a.x, b.x, bend.x), slope(a.y, b.y, bend.y), count, light, row * count, bend);
}

/** Mean normal over the stations of a piece, and the angle by which the normal turns towards the tangent over it, radians. */
function meanNormal(piece: readonly Station[]): { nx: number; ny: number; turn: number } {
  let nx = 0;
  let ny = 0;
  let turn = 0;
  for (let i = 0; i < piece.length; i++) {
    nx += piece[i].nx;
    ny += piece[i].ny;
    if (i > 0 && piece[i].corner > CORNER_CLEARANCE && piece[i - 1].corner > CORNER_CLEARANCE) {
      turn += (piece[i].nx - piece[i - 1].nx) * piece[i].tx + (piece[i].ny - piece[i - 1].ny) * piece[i].ty;
    }
  }
  const n = piece.length;
  return { nx: nx / n, ny: ny / n, turn: n > 1 ? (turn * n) / (n - 1) : 0 };
}

/** Efficiency of the mean of the middle half of normal values: its variance is that of a mean of so many times the values. */
export const MIDDLE_HALF_EFFICIENCY = 0.84;

/** Mean of the middle half of column t (insertion sort: there are only some twenty rows). */
function middleMean({ count, light, column }: Rows, used: number, t: number): number {
  let n = 0;
  for (let r = 0; r < used; r++) {
    const v = light[r * count + t];
    if (Number.isNaN(v)) continue;
    let k = n++;
    while (k > 0 && column[k - 1] > v) {
      column[k] = column[k - 1];
      k--;
    }
    column[k] = v;
  }
  if (n === 0) return NaN;
  const skip = n >= 4 ? n >> 2 : 0;
  let sum = 0;
  for (let k = skip; k < n - skip; k++) sum += column[k];
  return sum / (n - 2 * skip);
}
