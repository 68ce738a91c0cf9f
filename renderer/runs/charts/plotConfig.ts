import {
  Chart, Decimation, Filler, Legend, LinearScale, LineController, LineElement, PointElement, type ChartConfiguration, type ChartDataset, type Plugin, type ScriptableLineSegmentContext,
} from "chart.js";
import annotation from "chartjs-plugin-annotation";
import zoom from "chartjs-plugin-zoom";
import type { PlotData, PlotLevel, PlotLine } from "./plotData.ts";

// The package's types describe a CommonJS module; what the bundler takes is its ES module, whose default is the plugin.
const zoomPlugin = zoom as unknown as Plugin;
/** The chart's ground is drawn too, so that a saved picture is not transparent. */
const ground: Plugin = {
  id: "ground",
  beforeDraw: ({ ctx, width, height, canvas }) => {
    ctx.save();
    ctx.fillStyle = getComputedStyle(canvas).getPropertyValue("--surface").trim();
    ctx.fillRect(0, 0, width, height);
    ctx.restore();
  },
};
/** Where the ring stands in each chart. */
const rings = new WeakMap<Chart, { readonly x: number; readonly y: number } | null>();
/** The ring round the point that the reader is at: drawn over the chart, so that it moves without the chart being worked out anew. */
const ring: Plugin = {
  id: "ring",
  afterDatasetsDraw: (chart) => {
    const at = rings.get(chart);
    const { x, y } = chart.scales;
    if (!at || at.x < x.min || at.x > x.max) return;
    const { ctx } = chart;
    ctx.save();
    ctx.strokeStyle = getComputedStyle(chart.canvas).getPropertyValue("--focus").trim();
    ctx.lineWidth = 3;
    ctx.beginPath();
    ctx.arc(x.getPixelForValue(at.x), y.getPixelForValue(at.y), 11, 0, 2 * Math.PI);
    ctx.stroke();
    ctx.restore();
  },
};
Chart.register(LinearScale, LineController, LineElement, PointElement, Decimation, Filler, Legend, annotation, zoomPlugin);

/** More points than this are drawn as a line alone, thinned without losing the highest and lowest. */
const POINTS_SHOWN = 500;

/** Width of the narrowest chart, px: thinned points may lie a few columns of pixels apart without a break between them. */
const LEAST_WIDTH = 300;

type Ink = (name: string) => string;
type Dataset = ChartDataset<"line", { x: number; y: number }[]>;

/** Puts the ring round the point of a row, or takes it away, and draws. */
export function ringAt(chart: Chart<"line", { x: number; y: number }[]>, data: PlotData, row: number | null): void {
  rings.set(chart as unknown as Chart, row === null ? null : (placed(data)((one) => one === row)[0] ?? null));
  chart.draw();
}

/** How a chart writes. */
export interface PlotView {
  /** Size of the root's text, px. */
  readonly textSize: number;
  readonly family: string;
  readonly decimal: "." | ",";
}

export function plotConfig(data: PlotData, { textSize, family, decimal }: PlotView, ink: Ink): ChartConfiguration<"line", { x: number; y: number }[]> {
  const text = ink("--text");
  const font = { size: 0.8 * textSize, family };
  const localised = (value: number | string) => String(value).replace(".", decimal).replace("-", "−");
  return {
    type: "line",
    data: { datasets: [...marksOf(data, ink), ...data.lines.map((line) => datasetOf(line, ink))] },
    plugins: [ground, ring],
    options: {
      parsing: false, normalized: true, animation: false, responsive: true, maintainAspectRatio: false, events: ["click", "mousemove"],
      scales: {
        x: { type: "linear", title: { display: true, text: data.xLabel, color: text, font }, ticks: { color: text, font, precision: 0, callback: localised }, grid: { color: ink("--line") } },
        y: {
          title: { display: true, text: data.yLabel, color: text, font }, ticks: { color: text, font, callback: (value) => localised(Number(Number(value).toPrecision(6))) }, grid: { color: ink("--line") },
          ...suggested(data.levels),
        },
      },
      plugins: {
        legend: {
          display: true, position: "bottom",
          labels: { color: text, font, boxWidth: 28, boxHeight: 2, filter: (item, all) => Boolean(item.text) && !item.text.startsWith("_") && all.datasets.findIndex((d) => d.label === item.text) === item.datasetIndex },
        },
        decimation: { enabled: true, algorithm: "min-max", threshold: POINTS_SHOWN },
        zoom: { pan: { enabled: true, mode: "x" }, zoom: { wheel: { enabled: true, modifierKey: "ctrl" }, pinch: { enabled: true }, mode: "x" }, limits: { x: { min: "original", max: "original" } } },
        annotation: { annotations: [...data.levels.map((level) => levelLine(level, ink, font)), ...data.verticals.map((v, i) => verticalLine(v, i, ink, font))] },
      },
    },
  };
}

function datasetOf(line: PlotLine, ink: Ink): Dataset {
  const all = line.x.map((x, i) => ({ x, y: line.y[i] }));
  const few = all.length <= POINTS_SHOWN;
  // Thinning takes a column of pixels that begins with a break for empty: long lines are broken by what is drawn between points instead.
  const data = few ? all : all.filter((p) => Number.isFinite(p.y));
  const widest = Math.max(line.gap, (4 * ((data.at(-1)?.x ?? 0) - (data[0]?.x ?? 0))) / LEAST_WIDTH);
  const unseen = ({ p0, p1 }: ScriptableLineSegmentContext) => ((p1.parsed.x ?? 0) - (p0.parsed.x ?? 0) > widest ? "transparent" : undefined);
  const plain = {
    ...(!few && { segment: { borderColor: unseen, backgroundColor: unseen } }),
    label: line.label, data, pointRadius: 0, spanGaps: false, borderWidth: 1.5, borderColor: ink("--accent"), backgroundColor: ink("--accent") };
  switch (line.look) {
    case "points":
      return { ...plain, borderWidth: few ? 1 : 1.5, pointRadius: few ? 2.5 : 0, pointBackgroundColor: ink("--accent") };
    case "second":
      return { ...plain, borderColor: ink("--unsure-shape"), backgroundColor: ink("--unsure-shape"), pointRadius: few ? 2 : 0, pointStyle: "triangle" };
    case "thick":
      return { ...plain, borderColor: ink("--text"), backgroundColor: ink("--text"), borderWidth: 2.5 };
    case "limit":
      return { ...plain, borderColor: ink("--quiet"), borderDash: [3, 4], borderWidth: 1.5 };
    case "thickLimit":
      return { ...plain, borderColor: ink("--quiet"), borderDash: [9, 5], borderWidth: 2 };
    case "low":
      return { ...plain, label: "_low", borderWidth: 0 };
    case "high":
      return { ...plain, label: "± U", borderWidth: 0, borderColor: ink("--accent"), fill: "-1", backgroundColor: `${ink("--accent")}38` };
  }
}

const LOOKS = {
  signal: { pointStyle: "rectRot", radius: 6, ink: "--text" },
  bad: { pointStyle: "rect", radius: 5, ink: "--out-shape" },
  outlier: { pointStyle: "star", radius: 8, ink: "--out-shape" },
} as const;

type Placed = (wanted: (row: number) => boolean) => { x: number; y: number }[];

/** Points of the curves that stand for checks, by row. */
function placed(data: PlotData): Placed {
  const points = data.lines.filter((l) => ["points", "thick", "second"].includes(l.look)).flatMap((l) => l.rows.map((row, i) => ({ row, x: l.x[i], y: l.y[i] })));
  // A row stands on the first of the curves that has it.
  const first = new Map<number, (typeof points)[number]>();
  for (const p of points) if (p.row >= 0 && !first.has(p.row) && Number.isFinite(p.y)) first.set(p.row, p);
  return (wanted) => [...first.values()].filter((p) => wanted(p.row)).sort((a, b) => a.x - b.x).map(({ x, y }) => ({ x, y }));
}

/** Marked points as datasets of their own, so that thinning never takes them; too many are left to the line. */
function marksOf(data: PlotData, ink: Ink): Dataset[] {
  const sets: Dataset[] = [];
  const at = placed(data);
  for (const look of ["outlier", "bad", "signal"] as const) {
    const points = at((row) => data.marked.get(row) === look);
    if (points.length === 0 || points.length > POINTS_SHOWN) continue;
    const { pointStyle, radius, ink: colour } = LOOKS[look];
    sets.push({ label: `_${look}`, data: points, showLine: false, pointRadius: radius, pointStyle, pointBackgroundColor: look === "signal" ? "transparent" : ink(colour), pointBorderColor: ink(colour), pointBorderWidth: 1.5, borderWidth: 0 });
  }
  return sets;
}

function suggested(levels: readonly PlotLevel[]): { suggestedMin?: number; suggestedMax?: number } {
  const all = levels.filter((l) => l.look !== "centre").map((l) => l.y);
  if (all.length === 0) return {};
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const room = 0.06 * (high - low || Math.abs(high));
  return { ...(all.length > 1 && { suggestedMin: low - room }), suggestedMax: high + room };
}

function levelLine({ y, label, look }: PlotLevel, ink: Ink, { size, family }: { size: number; family: string }) {
  const colour = ink(look === "tolerance" ? "--out-shape" : "--quiet");
  return {
    type: "line" as const, yMin: y, yMax: y, borderColor: colour, borderWidth: look === "tolerance" ? 2.5 : 1.5, borderDash: look === "tolerance" ? [] : look === "control" ? [8, 5] : [2, 4], adjustScaleRange: false,
    label: { display: true, content: label, position: look === "centre" || look === "tolerance" ? ("end" as const) : ("start" as const), backgroundColor: ink("--surface"), color: ink("--text"), padding: 2, font: { family, size: 0.9 * size, weight: "normal" as const } },
  };
}

function verticalLine({ x, label, look }: PlotData["verticals"][number], i: number, ink: Ink, { size, family }: { size: number; family: string }) {
  return {
    type: "line" as const, xMin: x, xMax: x, borderColor: ink(look === "event" ? "--accent" : "--unsure-shape"), borderWidth: 1.5, borderDash: look === "event" ? [] : [4, 4], adjustScaleRange: false,
    label: { display: true, content: label, position: "end" as const, yAdjust: 22 * (i % 3), backgroundColor: ink("--raised"), color: ink("--text"), padding: 3, font: { family, size: 0.85 * size, weight: "normal" as const } },
  };
}
