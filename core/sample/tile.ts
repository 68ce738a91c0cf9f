import type { Box } from "./box.ts";
import type { Softness } from "./ink.ts";

/** Size of a patch, pixels. */
export const TILE = { width: 64, height: 32, pixels: 64 * 32 };

/** A patch of the picture while it is drawn. Arrays hold its pixels row by row; coordinates in mm. */
export interface Tile {
  readonly count: number;
  /** Board coordinates. */
  readonly X: Float64Array;
  readonly Y: Float64Array;
  /** Nominal print coordinates, and the drawing's blur there. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly soft: Softness;
  /** Nominal cut coordinates. */
  readonly cx: Float64Array;
  readonly cy: Float64Array;
  /** What the patch covers in each of the three, a little generously. */
  readonly box: { readonly board: Box; readonly print: Box; readonly cut: Box };
  /** How far the board's underside lies from its top as seen here, board mm. */
  readonly under: { readonly x: number; readonly y: number };
  readonly channels: 1 | 3;
  /** Bare board, and what is seen. */
  readonly bare: readonly Float32Array[];
  readonly light: readonly Float32Array[];
}
