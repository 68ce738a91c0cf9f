import type { Job } from "../job/schema.ts";
import type { Colour } from "./colour.ts";
import type { CameraSetup, ScannerSetup } from "./imaging.ts";
import type { Ink } from "./ink.ts";
import type { LayerMap } from "./layerMap.ts";

/** Everything that is in front of the camera, and the camera: a picture follows from it to the last bit. */
export interface Scene {
  readonly job: Job;
  /** Sheet number, as in the code. */
  readonly sheet: string;
  readonly seed: number;
  /** Nominal print frame to board; nominal cut (also in print-frame coordinates) to board. */
  readonly print: LayerMap;
  readonly cut: LayerMap;
  readonly board: BoardLook;
  /** All that is printed or stuck on, bottom first. */
  readonly inks: readonly Ink[];
  /** Null: the sheet has not been cut. */
  readonly cutting: CuttingLook | null;
  readonly table: TableLook;
  readonly light: LightLook;
  readonly imaging: CameraSetup | ScannerSetup;
  readonly sensor: SensorLook;
}

export interface BoardLook {
  readonly colour: Colour;
  /** Strength of the fibres' contrast, and of darker flecks in recycled board; 0 = none. */
  readonly fibre: number;
  readonly fleck: number;
  /** Thickness, mm; the cut edge's own colour (the liner's side is often greyer or browner). */
  readonly thickness: number;
  readonly edge: Colour;
}

export interface CuttingLook {
  /** Width of the slit, mm, and the light left in it (0 = black). */
  readonly slit: number;
  readonly depthLight: number;
  /** Raised lip: width mm, brightness gained; where 1 it lies always on the inside, 0 it faces the light. */
  readonly lip: number;
  readonly lipLight: number;
  readonly lipInside: number;
  /** Soft shade beside the slit, width mm and depth 0..1. */
  readonly shade: number;
  readonly shadeDepth: number;
  /** Standard deviation of the slit's centre (mm) and of its width (share), along the path. */
  readonly wander: number;
  readonly unevenness: number;
  /** Holding nicks: length mm and spacing mm; null = none. */
  readonly nicks: { readonly length: number; readonly every: number } | null;
  /** Crease: width (standard deviation, mm), darkening, slope contrast. */
  readonly crease: { readonly width: number; readonly depth: number; readonly slope: number };
}

export interface TableLook {
  readonly colour: Colour;
  readonly grain: number;
  /** Shade that the board throws on the table: width mm, depth 0..1. */
  readonly shade: number;
  readonly shadeDepth: number;
}

export interface LightLook {
  /** Light of white board at the picture's middle, 0..1 of the sensor's range. */
  readonly exposure: number;
  /** Relative change over the framed area, and the direction (radians, board) from where the light comes. */
  readonly gradient: number;
  readonly from: number;
  /** Hard shadow (a beam, a person): depth 0..1, softness mm, place as a share of the sheet; null = none. */
  readonly shadow: { readonly depth: number; readonly soft: number; readonly at: number; readonly angle: number } | null;
  /** Glare: a broad bright patch, gain and radius (mm) at a share of the sheet. */
  readonly glare: { readonly gain: number; readonly radius: number; readonly x: number; readonly y: number } | null;
  /** Share of light lost in the picture's corners. */
  readonly vignette: number;
}

export interface SensorLook {
  readonly channels: 1 | 3;
  /** Standard deviation of the whole Gaussian blur along the picture's rows and columns, pixels, at least DRAWN_BLUR. */
  readonly blur: { readonly x: number; readonly y: number };
  /** Variance of noise = shot * light + read^2, light 0..1. */
  readonly shot: number;
  readonly read: number;
  /** What the file states; not used for drawing. */
  readonly density: number | null;
}

/** Blur that every edge is drawn with, pixels: sampled at this, an edge aliases by less than 1e-3 of its contrast. */
export const DRAWN_BLUR = 0.6;
