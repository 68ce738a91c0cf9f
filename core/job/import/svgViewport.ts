import type { Matrix } from "./outline.ts";

/** A viewport in user units: what percentages are of. */
export interface Viewport {
  readonly width: number;
  readonly height: number;
}

/** mm per CSS unit (CSS Values: 96 px to the inch). */
export const CSS_UNITS: Readonly<Record<string, number>> = { "": 25.4 / 96, px: 25.4 / 96, in: 25.4, mm: 1, cm: 10, q: 0.25, pt: 25.4 / 72, pc: 25.4 / 6 };

const LENGTH = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z]*|%)\s*$/i;

/** A CSS length in mm; null for none, a percentage or text. */
export function millimetres(text: string | undefined): number | null {
  const match = LENGTH.exec(text ?? "");
  const unit = match && CSS_UNITS[match[2].toLowerCase()];
  return match && unit ? Number(match[1]) * unit : null;
}

/**
 * A length inside the drawing, user units: a number, a CSS length (a user unit is a px there), or a percentage of `whole`. `otherwise` where there is none; NaN for
 * what cannot be read (em, ex and the like depend on fonts), which leaves the shape out with a note.
 */
export function userLength(text: string | undefined, whole: number, otherwise = 0): number {
  if (text === undefined) return otherwise;
  const match = LENGTH.exec(text);
  if (!match) return Number.NaN;
  if (match[2] === "%") return (Number(match[1]) / 100) * whole;
  const unit = CSS_UNITS[match[2].toLowerCase()];
  return unit === undefined ? Number.NaN : match[2] === "" ? Number(match[1]) : (Number(match[1]) * unit) / CSS_UNITS.px;
}

/** What percentages that are neither across nor up are of (SVG 1.1, 7.10). */
export function diagonalOf({ width, height }: Viewport): number {
  return Math.sqrt((width * width + height * height) / 2);
}

/** A viewBox attribute: [x, y, width, height]; undefined where there is none, null where it cannot be read. */
export function viewBoxOf(text: string | undefined): readonly [number, number, number, number] | undefined | null {
  if (text === undefined) return undefined;
  const box = text.trim().split(/[\s,]+/).map(Number);
  return box.length === 4 && box.every(Number.isFinite) && box[2] > 0 && box[3] > 0 ? [box[0], box[1], box[2], box[3]] : null;
}

/** The map that fits a viewBox into width x height by preserveAspectRatio (its default: the whole box, in the middle), y down in both. */
export function fitBox([x, y, w, h]: readonly [number, number, number, number], width: number, height: number, keep = "xMidYMid meet"): Matrix {
  let [sx, sy] = [width / w, height / h];
  if (!keep.startsWith("none")) sx = sy = keep.includes("slice") ? Math.max(sx, sy) : Math.min(sx, sy);
  const spare = (axis: "x" | "Y", free: number) => (keep.includes(`${axis}Min`) || keep.startsWith("none") ? 0 : keep.includes(`${axis}Max`) ? free : free / 2);
  return [sx, 0, 0, sy, spare("x", width - sx * w) - sx * x, spare("Y", height - sy * h) - sy * y];
}
