import type { PicturePoint } from "../geometry/frames.ts";

/** A window of 8-bit grey values, row by row without gaps; the first pixel's centre is (0, 0) and points are in the window's own pixels. */
export interface GreyWindow {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** An ellipse put through an outline. */
export interface EllipseFit {
  readonly ok: true;
  /** Centre, pixels of the window. */
  readonly at: PicturePoint;
  /** Full axes, px, longest first. */
  readonly axes: readonly [number, number];
  /** Points of the outline that were used. */
  readonly points: number;
}

export interface NoEllipse {
  readonly ok: false;
  readonly reason: string;
}

/** A chessboard with coded markers in its light squares, as the library needs it; lengths in any one unit. */
export interface CodedBoard {
  /** Squares across and down. */
  readonly columns: number;
  readonly rows: number;
  readonly square: number;
  readonly marker: number;
  /** The markers' dictionary by the library's name for it. */
  readonly dictionary: string;
  /** The order of boards made before version 4.6 of the library. */
  readonly legacy?: boolean;
}

/** An inner corner of a board, numbered row by row from the upper left, in the window's pixels. */
export interface SeenCorner {
  readonly id: number;
  readonly at: PicturePoint;
}

/** What is used of a vision library. Core only names it; the host loads it (electron/host/vision.ts). */
export interface Vision {
  /** The library's own version. */
  readonly version: string;
  /** Whether the build can refine corners (cornerSubPix); not all can. */
  readonly refinesCorners: boolean;
  /** Memory the library holds, bytes. It never shrinks, so it tells leaks. */
  heapBytes(): number;
  /**
   * Least-squares ellipse through the largest outline of the window, thresholded by Otsu's method.
   *
   * @param tone whether the mark is darker or lighter than what surrounds it.
   * @throws Error only for a window whose data does not fit its size, or a fault inside the library.
   */
  largestEllipse(window: GreyWindow, tone: "dark" | "light"): EllipseFit | NoEllipse;
  /**
   * The inner corners of a board that the window shows, whole or in part; each is known by the markers beside it. Good to some tenths of a pixel. Empty where
   * none is seen, also where the board is seen in a mirror.
   */
  boardCorners(window: GreyWindow, board: CodedBoard): SeenCorner[];
  /** The cells of a marker, row by row from its upper left, its dark border included: 1 is ink. */
  markerCells(dictionary: string, id: number): readonly (readonly (0 | 1)[])[];
}
