import type { PicturePoint } from "../../core/geometry/frames.ts";
import type { EllipseFit, GreyWindow, NoEllipse, Vision } from "../../core/image/vision.ts";

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
  const { width, height, data } = window;
  if (data.length !== width * height || data.length === 0) {
    throw new Error(`A grey window of ${width} x ${height} pixels has ${data.length} values. Give one value for each pixel.`);
  }
  const grey = hold(new cv.Mat(height, width, cv.CV_8UC1));
  grey.data.set(data);
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
