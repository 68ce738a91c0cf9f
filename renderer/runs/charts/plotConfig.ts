import { Chart, Filler, Legend, LinearScale, LineController, LineElement, PointElement, type ChartConfiguration, type ChartDataset, type Plugin } from "chart.js";
import annotation from "chartjs-plugin-annotation";
import zoom from "chartjs-plugin-zoom";
import { ground, ring, thinning } from "./chartPlugins.ts";
import { lanesOf } from "./lanes.ts";
import type { PlotData, PlotLevel, PlotLine } from "./plotData.ts";
import { POINTS_SHOWN, type Point } from "./thinning.ts";

// The package's types describe a CommonJS module; what the bundler takes is its ES module, whose default is the plugin.
const zoomPlugin = zoom as unknown as Plugin;
Chart.register(LinearScale, LineController, LineElement, PointElement, Filler, Legend, annotation, zoomPlugin);

type Ink = (name: string) => string;
type Dataset = ChartDataset<"line", Point[]>;

/** How a chart writes. */
export interface PlotView {
  /** Size of the root's text, px. */
  readonly textSize: number;
  readonly family: string;
  readonly decimal: "." | ",";
  /** Width of the chart, px. */
  readonly width: number;
}

/** Everything that Chart.js is told of a chart. `places` are those of `placesOf(data)`. */
export function plotConfig(data: PlotData, places: ReadonlyMap<number, Point>, { textSize, family, decimal, width }: PlotView, ink: Ink): ChartConfiguration<"line", Point[]> {
  const text = ink("--text");
  const font = { size: 0.8 * textSize, family };
  const localised = (value: number | string) => String(value).replace(".", decimal).replace("-", "−");
  const marks = marksOf(data, places, ink);
  const curves = data.lines.map((line) => datasetOf(line, ink));
  const x = withRoom(extentOf(data.lines.map((line) => line.x), 0.01), labelWidth(data.levels, font.size) / width);
  return {
    type: "line",
    data: { datasets: [...marks, ...curves] },
    plugins: [ground(ink("--surface")), ring(ink("--focus")), thinning(data.lines, marks.length, curves.map((c) => Number(c.pointRadius)))],
    options: {
      parsing: false, normalized: true, animation: false, responsive: true, maintainAspectRatio: false, events: ["click", "mousemove"],
      scales: {
        x: { type: "linear", ...x, title: { display: true, text: data.xLabel, color: text, font }, ticks: { color: text, font, precision: 0, includeBounds: false, callback: localised }, grid: { color: ink("--line") } },
        y: {
          title: { display: true, text: data.yLabel, color: text, font }, ticks: { color: text, font, callback: (value) => localised(Number(Number(value).toPrecision(6))) }, grid: { color: ink("--line") },
          ...ordinates(data),
        },
      },
      plugins: {
        legend: {
          display: true, position: "bottom",
          labels: { color: text, font, boxWidth: 28, boxHeight: 2, filter: (item, all) => Boolean(item.text) && !item.text.startsWith("_") && all.datasets.findIndex((d) => d.label === item.text) === item.datasetIndex },
        },
        zoom: { pan: { enabled: true, mode: "x" }, zoom: { wheel: { enabled: true, modifierKey: "ctrl" }, pinch: { enabled: true }, mode: "x" }, limits: { x } },
        annotation: { annotations: [...data.levels.map((level) => levelLine(level, ink, font)), ...verticalLines(data.verticals, (at) => ((at - x.min) / (x.max - x.min)) * width, ink, font)] },
      },
    },
  };
}

/** How a curve is drawn; its points are the business of `thinning`. */
function datasetOf(line: PlotLine, ink: Ink): Dataset {
  const plain = { label: line.label, data: [], pointRadius: 0, spanGaps: false, borderWidth: 1.5, borderColor: ink("--accent"), backgroundColor: ink("--accent") };
  switch (line.look) {
    case "points":
      return { ...plain, borderWidth: 1, pointRadius: 2.5, pointBackgroundColor: ink("--accent") };
    case "second":
      return { ...plain, borderColor: ink("--unsure-shape"), backgroundColor: ink("--unsure-shape"), pointRadius: 2, pointStyle: "triangle" };
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

/** Where the checks stand, by row, along the abscissa; a row that several curves have stands on the first of them. */
export function placesOf(data: PlotData): ReadonlyMap<number, Point> {
  const first = new Map<number, Point>();
  for (const { look, rows, x, y } of data.lines) {
    if (look !== "points" && look !== "thick" && look !== "second") continue;
    for (const [i, row] of rows.entries()) if (row >= 0 && !first.has(row) && Number.isFinite(y[i])) first.set(row, { x: x[i], y: y[i] });
  }
  return new Map([...first].sort(([, a], [, b]) => a.x - b.x));
}

/** Marked points as datasets of their own, so that thinning never takes them; too many are left to the line. */
function marksOf(data: PlotData, places: ReadonlyMap<number, Point>, ink: Ink): Dataset[] {
  const sets: Dataset[] = [];
  for (const look of ["outlier", "bad", "signal"] as const) {
    const points = [...places].filter(([row]) => data.marked.get(row) === look).map(([, point]) => point);
    if (points.length === 0 || points.length > POINTS_SHOWN) continue;
    const { pointStyle, radius, ink: colour } = LOOKS[look];
    sets.push({ label: `_${look}`, data: points, showLine: false, pointRadius: radius, pointStyle, pointBackgroundColor: look === "signal" ? "transparent" : ink(colour), pointBorderColor: ink(colour), pointBorderWidth: 1.5, borderWidth: 0 });
  }
  return sets;
}

/** The ordinates hold the whole of the curves and all levels: what is in sight does not stretch while the chart is moved along. */
function ordinates({ lines, levels }: PlotData): { suggestedMin?: number; suggestedMax?: number } {
  const { min, max } = extentOf([...lines.map((line) => line.y), levels.map((level) => level.y)], 0.03);
  return { suggestedMin: min, suggestedMax: max };
}

/** Lowest and highest of many figures, with some room. */
function extentOf(lists: readonly (readonly number[])[], room: number): { min: number; max: number } {
  let [min, max] = [Infinity, -Infinity];
  for (const list of lists) {
    for (const value of list) {
      if (value < min) min = value;
      if (value > max) max = value;
    }
  }
  const more = room * (max - min || Math.abs(max) || 1);
  return { min: min - more, max: max + more };
}

/** The abscissa with room beyond the last check for the words at the lines' ends, a share of the chart's width: the last checks are what is looked for. */
function withRoom({ min, max }: { min: number; max: number }, share: number): { min: number; max: number } {
  return { min, max: max + (max - min) * Math.min(0.3, share) };
}

/** Where a level's word stands: tolerance and mean at the end, control limits at the start, as they may lie close together. */
const placeOf = ({ look }: PlotLevel): "start" | "end" => (look === "control" ? "start" : "end");

/** About the width of the longest word at the lines' ends, px. */
function labelWidth(levels: readonly PlotLevel[], size: number): number {
  return 0.6 * size * Math.max(0, ...levels.filter((level) => placeOf(level) === "end").map((level) => level.label.length));
}

function levelLine(level: PlotLevel, ink: Ink, { size, family }: { size: number; family: string }) {
  const { y, label, look } = level;
  const colour = ink(look === "tolerance" ? "--out-shape" : "--quiet");
  return {
    type: "line" as const, yMin: y, yMax: y, borderColor: colour, borderWidth: look === "tolerance" ? 2.5 : 1.5, borderDash: look === "tolerance" ? [] : look === "control" ? [8, 5] : [2, 4], adjustScaleRange: false,
    label: { display: true, content: label, position: placeOf(level), backgroundColor: ink("--surface"), color: ink("--text"), padding: 2, font: { family, size: 0.9 * size, weight: "normal" as const } },
  };
}

/** More changes than this that nothing was entered for are drawn without their word, which is in the list of changes as well. */
const CHANGES_NAMED = 6;

function verticalLines(verticals: PlotData["verticals"], pixelOf: (x: number) => number, ink: Ink, { size, family }: { size: number; family: string }) {
  const named = verticals.filter((v) => v.look === "change").length <= CHANGES_NAMED;
  const lanes = lanesOf(verticals.map(({ x, label }) => ({ middle: pixelOf(x), width: 0.55 * size * label.length })));
  return verticals.map(({ x, label, look }, i) => ({
    type: "line" as const, xMin: x, xMax: x, borderColor: ink(look === "event" ? "--accent" : "--unsure-shape"), borderWidth: 1.5, borderDash: look === "event" ? [] : [4, 4], adjustScaleRange: false,
    label: { display: look === "event" || named, content: label, position: "end" as const, yAdjust: 1.7 * size * lanes[i], backgroundColor: ink("--raised"), color: ink("--text"), padding: 3, font: { family, size: 0.85 * size, weight: "normal" as const } },
  }));
}
