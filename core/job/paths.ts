import svgpath from "svgpath";
import type { PrintPoint } from "../geometry/frames.ts";
import { arcTo, cubicTo, ellipseTo, lineTo, quadraticTo, startTrace, type Trace } from "./flatten.ts";
import type { Cut } from "./schema.ts";

/** One connected run of a cut, flattened: print frame, mm. */
export interface Subpath {
  /** Vertices in drawing order. A closed path does not repeat its first vertex. */
  readonly points: readonly PrintPoint[];
  readonly closed: boolean;
  /** Length of the chords, mm, the closing edge included. */
  readonly length: number;
  /** Direction of the true curve where edge i leaves vertex i, radians; a closed path has as many edges as vertices, an open one one less. */
  readonly leaving: readonly number[];
  /** Direction of the true curve where edge i arrives at vertex i + 1, radians. */
  readonly arriving: readonly number[];
}

/** Largest coordinate or radius that a cut may have, mm: 100 m, past any sheet. */
export const FARTHEST = 100_000;

/** Ends closer than this coincide, mm: drawing programs write three decimals. */
const COINCIDENT = 0.001;

type Segment = readonly [string, ...number[]];

/** svgpath's own typing lacks the two fields that we read. */
interface Parsed {
  readonly err: string;
  readonly segments: readonly Segment[];
}

function parse(path: string): Parsed {
  return svgpath(path).abs().unshort() as unknown as Parsed;
}

/**
 * Flattens a cut into chords no farther than `tolerance` (mm) from its curves. A `circle` starts at three o'clock and runs
 * counter-clockwise (contract section 1). Parts without length are left out; a cut that `cutFault` complains of gives [].
 */
export function flattenCut(cut: Cut, tolerance = 0.005): Subpath[] {
  if ("circle" in cut) {
    const { x, y, diameter } = cut.circle;
    const r = diameter / 2;
    const trace = startTrace(x + r, y);
    ellipseTo(trace, { cx: x, cy: y, px: r, py: 0, qx: 0, qy: r }, 0, 2 * Math.PI, tolerance, { x: x + r, y });
    return [subpathOf(trace, true)].filter((s) => s !== null);
  }
  const { err, segments } = parse(cut.path);
  if (err !== "" || segments.some(outOfReach)) return [];
  return flattenSegments(segments, tolerance);
}

/** What is wrong with a cut's geometry, as a sentence's end after "expected"; null where nothing is. */
export function cutFault(cut: Cut): string | null {
  if ("circle" in cut) {
    const { x, y, diameter } = cut.circle;
    return Math.max(Math.abs(x), Math.abs(y), diameter) > FARTHEST ? `a circle within ${FARTHEST} mm of the origin` : null;
  }
  const { err, segments } = parse(cut.path);
  if (err !== "") return `SVG path data, but ${err.replace(/^SvgPath: /, "")}`;
  if (segments.some(outOfReach)) return `finite numbers within ${FARTHEST} mm of the origin`;
  if (flattenSegments(segments, 0.05).length === 0) return "a path with some length: this one draws nothing";
  return null;
}

function outOfReach([, ...numbers]: Segment): boolean {
  return numbers.some((n) => !(Math.abs(n) <= FARTHEST));
}

function flattenSegments(segments: readonly Segment[], tolerance: number): Subpath[] {
  const subpaths: Subpath[] = [];
  let trace: Trace | null = null;
  const finish = (closed: boolean) => {
    const done = trace && subpathOf(trace, closed);
    if (done) subpaths.push(done);
  };
  for (const [command, ...v] of segments) {
    if (command === "M") {
      finish(false);
      trace = startTrace(v[0], v[1]);
    } else if (command === "Z") {
      finish(true);
      if (trace) trace = startTrace(trace.xs[0], trace.ys[0]);
    } else if (trace) {
      draw(trace, command, v, tolerance);
    }
  }
  finish(false);
  return subpaths;
}

function draw(trace: Trace, command: string, v: number[], tolerance: number): void {
  const last = trace.xs.length - 1;
  if (command === "L") lineTo(trace, v[0], v[1]);
  else if (command === "H") lineTo(trace, v[0], trace.ys[last]);
  else if (command === "V") lineTo(trace, trace.xs[last], v[0]);
  else if (command === "C") cubicTo(trace, v[0], v[1], v[2], v[3], v[4], v[5], tolerance);
  else if (command === "Q") quadraticTo(trace, v[0], v[1], v[2], v[3], tolerance);
  else if (command === "A") arcTo(trace, v[0], v[1], v[2], v[3] !== 0, v[4] !== 0, v[5], v[6], tolerance);
}

/**
 * Makes a subpath of a trace; null where it has no length. An open trace whose ends coincide is closed (contract
 * section 1); a closing gap gets a straight edge.
 */
export function subpathOf(trace: Trace, closed: boolean): Subpath | null {
  const { xs, ys, leaving, arriving } = { xs: [...trace.xs], ys: [...trace.ys], leaving: [...trace.leaving], arriving: [...trace.arriving] };
  const gap = Math.hypot(xs[0] - xs[xs.length - 1], ys[0] - ys[ys.length - 1]);
  const shut = closed || (xs.length > 2 && gap <= COINCIDENT);
  if (shut && xs.length > 2) {
    if (gap <= COINCIDENT) {
      xs.pop();
      ys.pop();
    } else {
      const direction = Math.atan2(ys[0] - ys[ys.length - 1], xs[0] - xs[xs.length - 1]);
      leaving.push(direction);
      arriving.push(direction);
    }
  }
  const points = xs.map((x, i) => ({ x, y: ys[i] }));
  const length = leaving.reduce((sum, _, i) => sum + edgeLength(points, i), 0);
  return length > 0 ? { points, closed: shut && points.length > 1 && leaving.length === points.length, length, leaving, arriving } : null;
}

/** Length of edge i of a ring or run of points. */
export function edgeLength(points: readonly PrintPoint[], i: number): number {
  const a = points[i];
  const b = points[(i + 1) % points.length];
  return Math.hypot(b.x - a.x, b.y - a.y);
}

/** Signed enclosed area by the shoelace formula, mm^2: positive where the path runs counter-clockwise in the print frame; 0 for an open path. */
export function signedArea(subpath: Subpath): number {
  if (!subpath.closed) return 0;
  const { points } = subpath;
  const o = points[0];
  let twice = 0;
  for (let i = 1; i + 1 < points.length; i++) {
    twice += (points[i].x - o.x) * (points[i + 1].y - o.y) - (points[i + 1].x - o.x) * (points[i].y - o.y);
  }
  return twice / 2;
}
