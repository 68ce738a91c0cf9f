import {
  Chart, Decimation, LinearScale, LineController, LineElement, PointElement, Tooltip, type ChartConfiguration, type Plugin,
} from "chart.js";
import annotation from "chartjs-plugin-annotation";
import zoom from "chartjs-plugin-zoom";
import { useEffect, useRef } from "react";
import { Button } from "react-aria-components";
import { useShop } from "../settings/useSettings.tsx";
import { isLength, type TrendData, unitOf } from "./trendData.ts";

// The package's types describe a CommonJS module; what the bundler takes is its ES module, whose default is the plugin.
const zoomPlugin = zoom as unknown as Plugin;
Chart.register(LinearScale, LineController, LineElement, PointElement, Decimation, Tooltip, annotation, zoomPlugin);

/** Individuals with their control limits (dashed) and, apart from them, the tolerance limits (solid, named). */
export function TrendChart({ data }: { data: TrendData }) {
  const { words, figures, settings } = useShop();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart | null>(null);

  useEffect(() => {
    if (!canvas.current) return;
    const convert = isLength(data) ? figures.fromMm : (value: number) => value;
    const names = { tolerance: words.runs.toleranceLimit, control: words.runs.controlLimit, axis: `${words.values[data.value]} (${unitOf(data, figures)})`, sheet: words.runs.sheet };
    chart.current = new Chart(canvas.current, configuration(data, convert, names, getComputedStyle(canvas.current)));
    return () => chart.current?.destroy();
  }, [data, figures, words, settings.theme, settings.textSize]);

  return (
    <figure className="chart">
      <div className="chart-box"><canvas ref={canvas} role="img" aria-label={words.runs.chartLabel(words.values[data.value])} /></div>
      <figcaption className="buttons">
        <Button className="button" onPress={() => chart.current?.zoom(1.4)}>{words.view.zoomIn}</Button>
        <Button className="button" onPress={() => chart.current?.zoom(1 / 1.4)}>{words.view.zoomOut}</Button>
        <Button className="button" onPress={() => chart.current?.resetZoom()}>{words.view.fit}</Button>
      </figcaption>
    </figure>
  );
}

interface Names {
  readonly tolerance: string;
  readonly control: string;
  readonly axis: string;
  readonly sheet: string;
}

function configuration(data: TrendData, convert: (value: number) => number, names: Names, style: CSSStyleDeclaration): ChartConfiguration<"line"> {
  const ink = (name: string) => style.getPropertyValue(name).trim();
  const text = ink("--text");
  const signals = new Set(data.statistics.signals.filter((signal) => signal.chart === "individuals" || signal.chart === "drift").map((signal) => signal.at));
  const points = data.values.map((value, i) => ({ x: i + 1, y: value === null ? Number.NaN : convert(value) }));
  const drift = (data.statistics.driftChart?.values ?? []).map((value, i) => ({ x: i + 1, y: value === null ? Number.NaN : convert(value) }));
  const line = (value: number | undefined, colour: string, dash: number[], label: string) => value === undefined ? [] : [{
    type: "line" as const, yMin: convert(value), yMax: convert(value), borderColor: ink(colour), borderWidth: 2, borderDash: dash, adjustScaleRange: false,
    label: { display: true, content: label, position: "end" as const, backgroundColor: ink("--surface"), color: text, padding: 3 },
  }];
  const { individuals } = data.statistics;
  return {
    type: "line",
    data: { datasets: [
      {
        data: points, borderColor: ink("--accent"), borderWidth: 1.5, spanGaps: false,
        pointRadius: points.length > 400 ? 0 : points.map((point) => (signals.has(point.x) ? 6 : 3)),
        pointStyle: points.map((point) => (signals.has(point.x) ? "rectRot" : "circle")), pointBackgroundColor: ink("--accent"),
      },
      { data: drift, borderColor: text, borderWidth: 2.5, pointRadius: 0 },
    ] },
    options: {
      parsing: false, normalized: true, animation: false, responsive: true, maintainAspectRatio: false,
      scales: {
        x: { type: "linear", title: { display: true, text: names.sheet, color: text }, ticks: { color: text, precision: 0 }, grid: { color: ink("--line") } },
        y: {
          title: { display: true, text: names.axis, color: text }, ticks: { color: text }, grid: { color: ink("--line") },
          suggestedMin: data.limits.lower === undefined ? undefined : convert(data.limits.lower * 1.1),
          suggestedMax: data.limits.upper === undefined ? undefined : convert(data.limits.upper * 1.1),
        },
      },
      plugins: {
        decimation: { enabled: true, algorithm: "min-max" },
        zoom: { pan: { enabled: true, mode: "x" }, zoom: { wheel: { enabled: true }, pinch: { enabled: true }, mode: "x" } },
        annotation: { annotations: [
          ...line(data.limits.lower, "--out-shape", [], names.tolerance), ...line(data.limits.upper, "--out-shape", [], names.tolerance),
          ...line(individuals?.lcl, "--quiet", [8, 5], names.control), ...line(individuals?.ucl, "--quiet", [8, 5], names.control),
        ] },
      },
    },
  };
}
