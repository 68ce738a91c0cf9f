import type { Chart } from "./content.ts";

/** A chart as drawing instructions in points, x right and y down; both PDF and SVG understand path data. */
export interface ChartDrawing {
  readonly paths: readonly { readonly d: string; readonly width: number; readonly dashed: boolean; readonly fill: boolean }[];
  readonly texts: readonly { readonly x: number; readonly y: number; readonly text: string }[];
}

const LEFT = 4;
const RIGHT = 110;

/** Draws a chart into a box of the given size, points; `figure` writes the levels' values. */
export function drawChart(chart: Chart, width: number, height: number, figure: (value: number) => string): ChartDrawing {
  const known = chart.values.filter((v) => v !== null);
  const levels = [...known, ...chart.lines.map((l) => l.at)];
  const [least, most] = [Math.min(...levels), Math.max(...levels)];
  // Less than the shown decimals tell is drawn as level, not as a zigzag.
  const span = Math.max(most - least, 4 * 10 ** -chart.digits);
  const low = (least + most - span) / 2;
  const x = (i: number) => LEFT + ((i + 0.5) / Math.max(1, chart.values.length)) * (width - LEFT - RIGHT);
  const y = (v: number) => height - 8 - ((v - low) / span) * (height - 16);
  const points = chart.values.flatMap((v, i) => (v === null ? [] : [{ x: x(i), y: y(v), marked: chart.marked.has(i) }]));
  const run = points.map((p, i) => `${i === 0 ? "M" : "L"} ${p.x.toFixed(2)} ${p.y.toFixed(2)}`).join(" ");
  return {
    paths: [
      ...chart.lines.map((l) => ({ d: `M ${LEFT} ${y(l.at).toFixed(2)} L ${(width - RIGHT).toFixed(2)} ${y(l.at).toFixed(2)}`, width: 0.6, dashed: l.dashed, fill: false })),
      ...(run ? [{ d: run, width: 0.7, dashed: false, fill: false }] : []),
      ...points.map((p) => ({ d: square(p.x, p.y, p.marked ? 2.6 : 1.2), width: 0.7, dashed: false, fill: !p.marked })),
    ],
    texts: spread(chart.lines.map((l) => ({ x: width - RIGHT + 4, y: y(l.at) + 2.5, text: `${l.label} ${figure(l.at)}` }))),
  };
}

function square(x: number, y: number, r: number): string {
  return `M ${(x - r).toFixed(2)} ${(y - r).toFixed(2)} h ${2 * r} v ${2 * r} h ${-2 * r} Z`;
}

/** Labels of lines close to each other are moved apart. */
function spread<T extends { y: number }>(texts: T[]): T[] {
  const sorted = [...texts].sort((a, b) => a.y - b.y);
  for (let i = 1; i < sorted.length; i++) sorted[i] = { ...sorted[i], y: Math.max(sorted[i].y, sorted[i - 1].y + 8) };
  return sorted;
}
