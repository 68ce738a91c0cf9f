import type { PicturePoint } from "../../core/geometry/frames.ts";
import type { CodedBoard, EllipseFit, GreyWindow, NoEllipse, SeenCorner, Vision } from "../../core/image/vision.ts";

/**
 * The part of OpenCV.js that is used, typed by what the pinned build really does: the types that come with it name functions the
 * build lacks and leave out some it has.
 */
interface OpenCv {
  readonly Mat: new (...size: [] | [rows: number, columns: number, type: number]) => Mat;
  readonly MatVector: new () => MatVector;
  readonly HEAPU8: Uint8Array;
  readonly CV_8UC1: number;
  readonly THRESH_BINARY: number;
  readonly THRESH_BINARY_INV: number;
  readonly THRESH_OTSU: number;
  readonly RETR_EXTERNAL: number;
  readonly CHAIN_APPROX_NONE: number;
  readonly cornerSubPix?: unknown;
  readonly Size: new (width: number, height: number) => { readonly width: number; readonly height: number };
  readonly aruco_CharucoBoard: new (size: object, square: number, marker: number, dictionary: Owned, ids: Mat) => Owned & { setLegacyPattern(legacy: boolean): void };
  readonly aruco_CharucoParameters: new () => Owned;
  readonly aruco_DetectorParameters: new () => Owned;
  readonly aruco_RefineParameters: new (minRepDistance: number, errorCorrectionRate: number, checkAllOrders: boolean) => Owned;
  readonly aruco_CharucoDetector: new (board: Owned, charuco: Owned, detector: Owned, refine: Owned) => Owned & {
    detectBoard(grey: Mat, corners: Mat, ids: Mat, markerCorners: MatVector, markerIds: Mat): void;
  };
  getPredefinedDictionary(name: number): Owned & { readonly markerSize: number; generateImageMarker(id: number, side: number, into: Mat, border: number): void };
  threshold(from: Mat, to: Mat, level: number, value: number, kind: number): number;
  findContours(binary: Mat, contours: MatVector, hierarchy: Mat, mode: number, method: number): void;
  contourArea(contour: Mat): number;
  fitEllipse(contour: Mat): { readonly center: { x: number; y: number }; readonly size: { width: number; height: number } };
  getBuildInformation(): string;
  exceptionFromPtr(pointer: number): { readonly msg: string };
}

/** Lives in the library's own memory, where no garbage collector looks: `delete` frees it. */
interface Owned {
  delete(): void;
}

interface Mat extends Owned {
  /** A view into the library's memory: stale as soon as that grows, so take it anew for each use. */
  readonly data: Uint8Array;
  readonly data32F: Float32Array;
  readonly data32S: Int32Array;
  readonly rows: number;
}

interface MatVector extends Owned {
  size(): number;
  /** A new Mat each time, to be freed like any other. */
  get(index: number): Mat;
}

/** fitEllipse asks for five points. */
const LEAST_POINTS = 5;

let loading: Promise<Vision> | null = null;

/** The vision library, loaded at the first call (some 0.2-0.5 s) and shared. A load that failed is tried again at the next call. */
export function loadVision(): Promise<Vision> {
  loading ??= load().catch((fault: unknown) => {
    loading = null;
    throw new Error("The vision library could not be loaded. Install the packages again.", { cause: fault });
  });
  return loading;
}

/**
 * The raw module stays inside: modules of this kind can be thenables on which `await` never returns, so no promise resolves to it here but
 * the package's own, which is a true one.
 */
async function load(): Promise<Vision> {
  const { loadOpenCV } = await import("@opencvjs/node");
  const cv = (await loadOpenCV()) as unknown as OpenCv;
  return {
    version: /OpenCV\s+(\S+)/.exec(cv.getBuildInformation())?.[1] ?? "unknown",
    refinesCorners: typeof cv.cornerSubPix === "function",
    heapBytes: () => cv.HEAPU8.byteLength,
    largestEllipse: (window, tone) => holding(cv, (hold) => largestEllipse(cv, hold, window, tone)),
    boardCorners: (window, board) => holding(cv, (hold) => boardCorners(cv, hold, window, board)),
    markerCells: (dictionary, id) => holding(cv, (hold) => markerCells(cv, hold, dictionary, id)),
  };
}

type Hold = <T extends Owned>(owned: T) => T;

/** Runs `work` and frees all that it held, whatever happens. The library throws its errors as numbers; they leave here as Errors. */
function holding<T>(cv: OpenCv, work: (hold: Hold) => T): T {
  const held: Owned[] = [];
  try {
    return work((owned) => {
      held.push(owned);
      return owned;
    });
  } catch (fault) {
    throw typeof fault === "number" ? new Error(`The vision library failed: ${cv.exceptionFromPtr(fault).msg.trim()}`) : fault;
  } finally {
    for (const owned of held.reverse()) owned.delete();
  }
}

function largestEllipse(cv: OpenCv, hold: Hold, window: GreyWindow, tone: "dark" | "light"): EllipseFit | NoEllipse {
  const grey = greyMat(cv, hold, window);
  const binary = hold(new cv.Mat());
  cv.threshold(grey, binary, 0, 255, cv.THRESH_OTSU | (tone === "dark" ? cv.THRESH_BINARY_INV : cv.THRESH_BINARY));
  const contours = hold(new cv.MatVector());
  cv.findContours(binary, contours, hold(new cv.Mat()), cv.RETR_EXTERNAL, cv.CHAIN_APPROX_NONE);
  let largest: Mat | null = null;
  let most = -1;
  for (let i = 0; i < contours.size(); i++) {
    const contour = hold(contours.get(i));
    const area = cv.contourArea(contour);
    if (area > most) [largest, most] = [contour, area];
  }
  // A line of pixels is an outline that goes there and back and encloses nothing.
  if (!largest || largest.rows < LEAST_POINTS || most === 0) return { ok: false, reason: "shows no outline large enough for an ellipse" };
  const { center, size } = cv.fitEllipse(largest);
  // Points on another curve than an ellipse can give no numbers or no axes.
  if (!(Number.isFinite(center.x) && Number.isFinite(center.y) && Math.min(size.width, size.height) > 0)) {
    return { ok: false, reason: "shows an outline that is no ellipse" };
  }
  const at: PicturePoint = { x: center.x, y: center.y };
  return { ok: true, at, axes: [Math.max(size.width, size.height), Math.min(size.width, size.height)], points: largest.rows };
}

function greyMat(cv: OpenCv, hold: Hold, { width, height, data }: GreyWindow): Mat {
  if (data.length !== width * height || data.length === 0) {
    throw new Error(`A grey window of ${width} x ${height} pixels has ${data.length} values. Give one value for each pixel.`);
  }
  const grey = hold(new cv.Mat(height, width, cv.CV_8UC1));
  grey.data.set(data);
  return grey;
}

/** The pinned build puts corners of boards half a pixel too far right and down, against the first pixel's centre at (0, 0). */
const BOARD_OFFSET = 0.5;

function boardCorners(cv: OpenCv, hold: Hold, window: GreyWindow, { columns, rows, square, marker, dictionary, legacy = false }: CodedBoard): SeenCorner[] {
  const board = hold(new cv.aruco_CharucoBoard(new cv.Size(columns, rows), square, marker, dictionaryOf(cv, hold, dictionary), hold(new cv.Mat())));
  board.setLegacyPattern(legacy);
  const refine = hold(new cv.aruco_RefineParameters(10, 3, true));
  const detector = hold(new cv.aruco_CharucoDetector(board, hold(new cv.aruco_CharucoParameters()), hold(new cv.aruco_DetectorParameters()), refine));
  const [corners, ids] = [hold(new cv.Mat()), hold(new cv.Mat())];
  detector.detectBoard(greyMat(cv, hold, window), corners, ids, hold(new cv.MatVector()), hold(new cv.Mat()));
  const [points, numbers] = [corners.data32F, ids.data32S];
  return Array.from({ length: ids.rows }, (_, i) => ({ id: numbers[i], at: { x: points[2 * i] - BOARD_OFFSET, y: points[2 * i + 1] - BOARD_OFFSET } }));
}

function markerCells(cv: OpenCv, hold: Hold, dictionary: string, id: number): (0 | 1)[][] {
  const markers = dictionaryOf(cv, hold, dictionary);
  const side = markers.markerSize + 2;
  const drawn = hold(new cv.Mat());
  markers.generateImageMarker(id, side, drawn, 1);
  const cells = Array.from(drawn.data, (v): 0 | 1 => (v > 127 ? 0 : 1));
  return Array.from({ length: side }, (_, row) => cells.slice(row * side, (row + 1) * side));
}

function dictionaryOf(cv: OpenCv, hold: Hold, name: string): ReturnType<OpenCv["getPredefinedDictionary"]> {
  const number = (cv as unknown as Record<string, unknown>)[name];
  if (!name.startsWith("DICT_") || typeof number !== "number") throw new Error(`The vision library knows no dictionary "${name}".`);
  return hold(cv.getPredefinedDictionary(number));
}
