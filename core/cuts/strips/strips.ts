import type { PicturePoint, PrintPoint } from "../../geometry/frames.ts";
import { boxOf } from "../../geometry/polygon.ts";
import type { Picture } from "../../image/picture.ts";
import { neutral, samplerOf, type Sampler } from "../../image/sampler.ts";
import { flattenCut } from "../../job/paths.ts";
import type { Cut, Job } from "../../job/schema.ts";
import { walk, type Station } from "../../job/walk.ts";
import { lightOf, type BareBoard } from "./bareBoard.ts";
import { brightPlanes } from "./brightPlane.ts";
import { huePlanes } from "./huePlane.ts";
import { coloursOf } from "./colours.ts";
import type { Hue } from "../shadows/hueEdges.ts";
import { isHue, outlineMixes } from "./outlinePlane.ts";
import type { Outline } from "./sides.ts";
import { sampleStrip, stripGrid, type Chunk, type Plane, type StripGrid } from "./strip.ts";

/** A subpath of a job with the light along it. */
export interface Strip extends Outline {
  readonly cut: Cut;
  /** Length of the subpath, mm. */
  readonly length: number;
  readonly chunks: readonly Chunk[];
  /** For a stripped piece's outline: what tells its own edge from the end of its shadow, where the plane that it is sought in does not. */
  readonly hue?: Hue;
}

/** What is seen along all paths of a job. */
export interface Strips {
  readonly paths: readonly Strip[];
  readonly grid: StripGrid;
  /** Sigma of the picture's blur, mm. */
  readonly blur: number;
}

export interface StripOptions {
  /** Half width of the search, mm. */
  readonly reach: number;
  /** Sigma of the picture's blur, px, as the marks show it. */
  readonly blur: number;
  readonly pxPerMm: number;
  /** How bright the light is at a place of the sheet, relative to its middle (default 1). */
  readonly light?: (place: PrintPoint) => number;
  /** Light of the bare board (default white, fully lit). */
  readonly board?: BareBoard;
  /** Whether slits are looked at by the print's colour that they interrupt, where it has one (see huePlane.ts). */
  readonly inHues?: boolean;
}

/** A shade or the edge of a lip makes the ground unlike on a line's two sides by about this share of its depth (common practice, no source). */
export const UNEVEN = 0.15;
/** Blur, mm, up to which such a shade is told apart from the line by itself. */
const RESOLVED = 0.08;
/** A crease is known to tenths of a millimetre: stations so many times as far from each other tell it as well. */
const SOFT = 2;
/** Length of a chunk, mm: two to a stretch. */
const CHUNK = 5;

/** Length of the chunks of a subpath of a given length, mm: eight to a short path, since a hole is round and its deviation changes along it. */
export function chunkLength(subpath: number): number {
  return Math.min(CHUNK, subpath / 8);
}

/** Samples the strip along every path of the job. `toPicture` must be right to within the reach. */
export function sampleStrips(picture: Picture, sampler: Sampler, job: Job, toPicture: (p: PrintPoint) => PicturePoint | null, { reach, pxPerMm, light, board, inHues = false, ...options }: StripOptions): Strips {
  const blur = Math.max(options.blur, 0.5) / pxPerMm;
  const grid = stripGrid(reach, pxPerMm, blur > RESOLVED ? UNEVEN : 0);
  const paths = job.cuts.flatMap((cut) => stripsOf(picture, sampler, job, cut, toPicture, grid, pxPerMm, { board, inHues }));
  return { paths: light ? paths.map((path) => ({ ...path, chunks: path.chunks.map((c) => ({ ...c, light: light(c) })) })) : paths, grid, blur };
}

function stripsOf(picture: Picture, sampler: Sampler, job: Job, cut: Cut, toPicture: (p: PrintPoint) => PicturePoint | null, grid: StripGrid, pxPerMm: number, { board, inHues }: Pick<StripOptions, "board" | "inHues">): Strip[] {
  const step = (cut.kind === "crease" ? SOFT : 1) * Math.max(0.25, 1 / pxPerMm);
  const bright = brightPlanes(picture, toPicture);
  const hues = inHues ? huePlanes(picture, toPicture, board) : null;
  const colours = cut.kind === "cut" ? coloursOf(picture, toPicture) : null;
  return flattenCut(cut).map((subpath) => {
    const length = chunkLength(subpath.length);
    const stations = walk(subpath, Math.min(step, length / 6));
    const outline = job.state === "stripped" && cut.kind === "cut" && subpath.closed;
    const mixes = outline ? outlineMixes(picture, stations, toPicture) : null;
    const hue = mixes?.hue ? { hue: { mix: mixes.hue, bare: lightOf(mixes.hue, board) } } : {};
    const planeFor = (piece: readonly Station[]): Plane => {
      const sought = mixes?.sought(piece) ?? hues?.(piece);
      const mix = sought ?? bright(piece);
      return { sampler: mix ? samplerOf(picture, mix) : sampler, bare: lightOf(sought ?? neutral, board), hued: sought ? isHue(sought) : false };
    };
    return { cut, kind: cut.kind, closed: subpath.closed, box: boxOf(subpath.points), length: subpath.length, ...hue, chunks: sampleStrip(planeFor, stations, toPicture, grid, length, colours) };
  });
}
