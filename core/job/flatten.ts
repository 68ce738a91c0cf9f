/**
 * Curves to chords, to a tolerance. Pure plane geometry on plain numbers (any right- or left-handed frame, any unit): the
 * job's paths and the importers share it. Each function appends points after the curve's start to a `Trace`.
 */

/**
 * A flattened run of path: vertices, and for each edge the direction (radians) in which the true curve leaves its first
 * vertex and arrives at its last one. For a straight edge both are the chord's own direction.
 */
export interface Trace {
  readonly xs: number[];
  readonly ys: number[];
  readonly leaving: number[];
  readonly arriving: number[];
}

/** Starts an empty trace at a point. */
export function startTrace(x: number, y: number): Trace {
  return { xs: [x], ys: [y], leaving: [], arriving: [] };
}

function push(trace: Trace, x: number, y: number, leaving: number, arriving: number): void {
  const last = trace.xs.length - 1;
  if (x === trace.xs[last] && y === trace.ys[last]) return;
  trace.xs.push(x);
  trace.ys.push(y);
  trace.leaving.push(leaving);
  trace.arriving.push(arriving);
}

/** Appends a straight edge; one of no length is left out. */
export function lineTo(trace: Trace, x: number, y: number): void {
  const last = trace.xs.length - 1;
  const direction = Math.atan2(y - trace.ys[last], x - trace.xs[last]);
  push(trace, x, y, direction, direction);
}

/**
 * How many equal parameter steps keep a polynomial curve of degree `d` within `tolerance` of its chords: with M the
 * largest second difference of the control points, the second derivative is at most d(d-1)M and a chord over 1/n of
 * the parameter errs by at most d(d-1)M / (8 n^2) (linear interpolation's error bound).
 */
function steps(degree: number, secondDifference: number, tolerance: number): number {
  return Math.max(1, Math.ceil(Math.sqrt((degree * (degree - 1) * secondDifference) / (8 * tolerance))));
}

/**
 * Appends a cubic Bézier from the trace's end with control points 1, 2 and end point 3. Directions at the ends use the first control point
 * that differs, so that a curve with coincident control points still has its true end tangents.
 */
export function cubicTo(trace: Trace, x1: number, y1: number, x2: number, y2: number, x3: number, y3: number, tolerance: number): void {
  const last = trace.xs.length - 1;
  const x0 = trace.xs[last];
  const y0 = trace.ys[last];
  const bend = Math.max(Math.hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2), Math.hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3));
  if (bend === 0 && x1 === x0 && y1 === y0) return lineTo(trace, x3, y3);
  const n = steps(3, bend, tolerance);
  let before = endDirection(x0, y0, x1, y1, x2, y2, x3, y3);
  const finish = endDirection(x3, y3, x2, y2, x1, y1, x0, y0) + Math.PI;
  for (let i = 1; i <= n; i++) {
    const t = i / n;
    const u = 1 - t;
    const a = u * u * u;
    const b = 3 * u * u * t;
    const c = 3 * u * t * t;
    const d = t * t * t;
    const dx = u * u * (x1 - x0) + 2 * u * t * (x2 - x1) + t * t * (x3 - x2);
    const dy = u * u * (y1 - y0) + 2 * u * t * (y2 - y1) + t * t * (y3 - y2);
    const after = i === n || (dx === 0 && dy === 0) ? finish : Math.atan2(dy, dx);
    if (i === n) push(trace, x3, y3, before, after);
    else push(trace, a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3, before, after);
    before = after;
  }
}

function endDirection(...p: [number, number, number, number, number, number, number, number]): number {
  for (let i = 2; i < 8; i += 2) {
    if (p[i] !== p[0] || p[i + 1] !== p[1]) return Math.atan2(p[i + 1] - p[1], p[i] - p[0]);
  }
  return 0;
}

/** Appends a quadratic Bézier with control point 1 and end point 2, raised to the cubic that it is. */
export function quadraticTo(trace: Trace, x1: number, y1: number, x2: number, y2: number, tolerance: number): void {
  const last = trace.xs.length - 1;
  const x0 = trace.xs[last];
  const y0 = trace.ys[last];
  cubicTo(trace, x0 + (2 * (x1 - x0)) / 3, y0 + (2 * (y1 - y0)) / 3, x2 + (2 * (x1 - x2)) / 3, y2 + (2 * (y1 - y2)) / 3, x2, y2, tolerance);
}

/** An ellipse: centre, two conjugate half-axes (any affine image of a circle has a pair), so that a point is c + p cos t + q sin t. */
export interface Ellipse {
  readonly cx: number;
  readonly cy: number;
  readonly px: number;
  readonly py: number;
  readonly qx: number;
  readonly qy: number;
}

/**
 * Appends the part of an ellipse from parameter `from` over `sweep` radians (signed). The trace must already stand at
 * the part's start. Affine images of circle chords: the error is at most (long half-axis) * (1 - cos(step / 2)).
 *
 * @param end exact end point to land on, where the caller knows it better than the trigonometry.
 */
export function ellipseTo(trace: Trace, e: Ellipse, from: number, sweep: number, tolerance: number, end?: { readonly x: number; readonly y: number }): void {
  const reach = longHalfAxis(e);
  const widest = reach > tolerance ? 2 * Math.acos(1 - tolerance / reach) : Math.PI / 2;
  const n = Math.max(1, Math.ceil(Math.abs(sweep) / Math.min(widest, Math.PI / 2)));
  const sense = sweep < 0 ? Math.PI : 0;
  let before = ellipseDirection(e, from) + sense;
  for (let i = 1; i <= n; i++) {
    const t = from + (sweep * i) / n;
    const after = ellipseDirection(e, t) + sense;
    const last = i === n && end;
    push(trace, last ? last.x : e.cx + e.px * Math.cos(t) + e.qx * Math.sin(t), last ? last.y : e.cy + e.py * Math.cos(t) + e.qy * Math.sin(t), before, after);
    before = after;
  }
}

function ellipseDirection(e: Ellipse, t: number): number {
  return Math.atan2(e.qy * Math.cos(t) - e.py * Math.sin(t), e.qx * Math.cos(t) - e.px * Math.sin(t));
}

/** The larger singular value of [p q]. */
function longHalfAxis(e: Ellipse): number {
  const sum = e.px * e.px + e.py * e.py + e.qx * e.qx + e.qy * e.qy;
  const det = e.px * e.qy - e.py * e.qx;
  return Math.sqrt((sum + Math.sqrt(Math.max(0, sum * sum - 4 * det * det))) / 2);
}

/**
 * Appends SVG's elliptical arc by its end points: conversion to the centre form as in SVG 1.1, appendix F.6 (radii made
 * positive and large enough; no radius means a straight line). Works on plain numbers: `sweep` is towards growing angles.
 */
export function arcTo(trace: Trace, rx: number, ry: number, degrees: number, large: boolean, sweep: boolean, x: number, y: number, tolerance: number): void {
  const last = trace.xs.length - 1;
  const x0 = trace.xs[last];
  const y0 = trace.ys[last];
  if (x0 === x && y0 === y) return;
  let a = Math.abs(rx);
  let b = Math.abs(ry);
  if (a === 0 || b === 0) return lineTo(trace, x, y);
  const phi = (degrees * Math.PI) / 180;
  const cos = Math.cos(phi);
  const sin = Math.sin(phi);
  const hx = (cos * (x0 - x) + sin * (y0 - y)) / 2;
  const hy = (cos * (y0 - y) - sin * (x0 - x)) / 2;
  const excess = (hx / a) ** 2 + (hy / b) ** 2;
  if (excess > 1) {
    a *= Math.sqrt(excess);
    b *= Math.sqrt(excess);
  }
  const root = Math.sqrt(Math.max(0, 1 / Math.max(excess, 1e-300) - 1)) * (large === sweep ? -1 : 1);
  const ux = excess > 1 ? 0 : (root * a * hy) / b;
  const uy = excess > 1 ? 0 : (-root * b * hx) / a;
  const from = Math.atan2((hy - uy) / b, (hx - ux) / a);
  let turn = Math.atan2((-hy - uy) / b, (-hx - ux) / a) - from;
  if (sweep && turn < 0) turn += 2 * Math.PI;
  if (!sweep && turn > 0) turn -= 2 * Math.PI;
  const e = { cx: cos * ux - sin * uy + (x0 + x) / 2, cy: sin * ux + cos * uy + (y0 + y) / 2, px: a * cos, py: a * sin, qx: -b * sin, qy: b * cos };
  ellipseTo(trace, e, from, turn, tolerance, { x, y });
}
