import { markSize } from "../../../core/job/markSize.ts";
import type { Code, Mark } from "../../../core/job/schema.ts";
import type { Size, Viewport } from "../../picture/viewport.ts";
import type { LineInks } from "./useLineInks.ts";

type Pen = CanvasRenderingContext2D;

/** From the print frame (mm, y up) to the canvas. */
export interface Plot {
  readonly x: (mm: number) => number;
  readonly y: (mm: number) => number;
  readonly scale: number;
}

/** From print mm (y up) on a sheet of the given height to a canvas whose view has y down. */
export function plotOf(view: Viewport, height: number): Plot {
  return { x: (mm) => view.x + view.scale * mm, y: (mm) => view.y + view.scale * (height - mm), scale: view.scale };
}

/** The table and the sheet on it; `at` is the sheet's lower-left corner. */
export function drawPaper(g: Pen, plot: Plot, canvas: Size, sheet: Size, inks: LineInks, at = { x: 0, y: 0 }): void {
  g.fillStyle = inks.ground;
  g.fillRect(0, 0, canvas.width, canvas.height);
  g.fillStyle = inks.paper;
  g.strokeStyle = inks.edge;
  g.lineWidth = 1;
  g.beginPath();
  g.rect(plot.x(at.x), plot.y(at.y + sheet.height), sheet.width * plot.scale, sheet.height * plot.scale);
  g.fill();
  g.stroke();
}

/** A mark in its true shape; small ones are still seen as a dot of three pixels. */
export function drawMark(g: Pen, plot: Plot, mark: Mark, ink: string): void {
  const [x, y] = [plot.x(mark.x), plot.y(mark.y)];
  const half = Math.max(1.5, (markSize(mark) * plot.scale) / 2);
  g.fillStyle = ink;
  g.beginPath();
  if (mark.shape === "square") g.rect(x - half, y - half, 2 * half, 2 * half);
  else if (mark.shape === "cross") cross(g, x, y, half, Math.max(0.5, (mark.stroke * plot.scale) / 2), ((mark.angle ?? 0) * Math.PI) / 180);
  else if (mark.shape === "checker") {
    // Light ink has the quarters that are not the dark ones.
    const first = mark.tone === "light" ? 0 : -Math.PI / 2;
    for (const from of [first, first + Math.PI]) {
      g.moveTo(x, y);
      g.arc(x, y, half, from, from + Math.PI / 2);
    }
  } else g.arc(x, y, half, 0, 2 * Math.PI);
  // Open in its middle: a witness's hole is seen there.
  if (mark.shape === "ring") g.arc(x, y, (mark.inner * plot.scale) / 2, 0, 2 * Math.PI, true);
  g.fill();
  if (mark.shape === "checker") {
    g.strokeStyle = ink;
    g.lineWidth = 1;
    g.beginPath();
    g.arc(x, y, half, 0, 2 * Math.PI);
    g.stroke();
  }
}

function cross(g: Pen, x: number, y: number, half: number, arm: number, angle: number): void {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const corners = [[arm, half], [arm, arm], [half, arm], [half, -arm], [arm, -arm], [arm, -half], [-arm, -half], [-arm, -arm], [-half, -arm], [-half, arm], [-arm, arm], [-arm, half]];
  corners.forEach(([u, v], i) => {
    const [px, py] = [x + u * c - v * s, y - (u * s + v * c)];
    if (i === 0) g.moveTo(px, py);
    else g.lineTo(px, py);
  });
  g.closePath();
}

/** The place of a code: its square and the three corner squares by which a QR code is known. */
export function drawCode(g: Pen, plot: Plot, code: Pick<Code, "x" | "y" | "size">, ink: string, paper: string): void {
  const s = code.size * plot.scale;
  const [left, top] = [plot.x(code.x) - s / 2, plot.y(code.y) - s / 2];
  g.strokeStyle = ink;
  g.lineWidth = 1;
  g.strokeRect(left, top, s, s);
  const finder = (x: number, y: number) => {
    for (const [inset, colour] of [[0, ink], [1 / 7, paper], [2 / 7, ink]] as const) {
      g.fillStyle = colour;
      g.fillRect(x + inset * 0.3 * s, y + inset * 0.3 * s, (1 - 2 * inset) * 0.3 * s, (1 - 2 * inset) * 0.3 * s);
    }
  };
  finder(left, top);
  finder(left + 0.7 * s, top);
  finder(left, top + 0.7 * s);
}

/** The ring that says "chosen"; dashed: may be taken. */
export function drawRing(g: Pen, plot: Plot, at: { readonly x: number; readonly y: number }, size: number, ink: string, dashed = false): void {
  g.strokeStyle = ink;
  g.lineWidth = dashed ? 1.5 : 3;
  g.setLineDash(dashed ? [4, 3] : []);
  g.beginPath();
  g.arc(plot.x(at.x), plot.y(at.y), Math.max(9, (size * plot.scale) / 2 + 5), 0, 2 * Math.PI);
  g.stroke();
  g.setLineDash([]);
}

/** A small word beside a place. */
export function drawLabel(g: Pen, plot: Plot, at: { readonly x: number; readonly y: number }, text: string, inks: LineInks, up = 12): void {
  g.font = `600 ${inks.small}px system-ui, sans-serif`;
  const width = g.measureText(text).width;
  // On the other side where the canvas ends before it.
  const room = g.canvas.width / g.getTransform().a - plot.x(at.x) - 8;
  const [x, y] = [plot.x(at.x) + (room < width + 3 ? -8 - width : 8), plot.y(at.y) - up];
  g.fillStyle = inks.paper;
  g.globalAlpha = 0.85;
  g.fillRect(x - 3, y - inks.small + 1, width + 6, inks.small + 4);
  g.globalAlpha = 1;
  g.fillStyle = inks.text;
  g.fillText(text, x, y + 1);
}

/** The datum: a cross in a circle, as drawings show it. */
export function drawDatum(g: Pen, plot: Plot, at: { readonly x: number; readonly y: number }, ink: string): void {
  const [x, y] = [plot.x(at.x), plot.y(at.y)];
  g.strokeStyle = ink;
  g.lineWidth = 1.5;
  g.beginPath();
  g.arc(x, y, 6, 0, 2 * Math.PI);
  g.moveTo(x - 10, y);
  g.lineTo(x + 10, y);
  g.moveTo(x, y - 10);
  g.lineTo(x, y + 10);
  g.stroke();
}
