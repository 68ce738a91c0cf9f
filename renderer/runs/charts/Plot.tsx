import { Chart } from "chart.js";
import { type KeyboardEvent, useEffect, useImperativeHandle, useMemo, useRef, useState, type Ref } from "react";
import { Button } from "react-aria-components";
import { useShop } from "../../settings/useSettings.tsx";
import { useAppearance } from "../../style/useAppearance.ts";
import { ringAt } from "./chartPlugins.ts";
import { placesOf, plotConfig } from "./plotConfig.ts";
import type { PlotData } from "./plotData.ts";
import type { Point } from "./thinning.ts";

/** What others may ask of a chart: its picture. */
export interface PlotHandle {
  png(): string;
}

interface Props {
  readonly data: PlotData;
  /** Row that the reader comes from. */
  readonly start: number | null;
  /** Opens the sheet of a row. */
  open(row: number): void;
  readonly handle: Ref<PlotHandle>;
  readonly children?: React.ReactNode;
}

/** A chart with its buttons. Click a point to go to it, click it again (or press Enter) to open its sheet; everything by keyboard too. */
export function Plot({ data, start, open, handle, children }: Props) {
  const { words, figures } = useShop();
  const appearance = useAppearance();
  const w = words.runs.charts;
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<Chart<"line", Point[]> | null>(null);
  const [cursor, setCursor] = useState(start);
  const places = useMemo(() => placesOf(data), [data]);
  const rows = useMemo(() => [...places.keys()], [places]);
  const cursorRef = useRef(cursor);
  cursorRef.current = cursor;

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    const style = getComputedStyle(element);
    const began = performance.now();
    // Before its first chart a canvas has a width of its own; its box has the one that the chart will take.
    const width = element.parentElement?.clientWidth ?? element.clientWidth;
    const view = { textSize: parseFloat(getComputedStyle(document.documentElement).fontSize), family: style.fontFamily, decimal: figures.decimal, width };
    const made = new Chart(element, plotConfig(data, places, view, (name) => style.getPropertyValue(name).trim()));
    made.options.onClick = ({ x, y }) => {
      const row = nearestRow(made, x ?? 0, y ?? 0, data);
      if (row === null) return;
      if (row === cursorRef.current) open(row);
      else setCursor(row);
    };
    element.dataset["drawn"] = String(Math.round(performance.now() - began));
    chart.current = made;
    return () => made.destroy();
  }, [data, places, figures, appearance, open]);

  // Only the ring moves: the chart is not made anew, so that the zoom stays.
  useEffect(() => {
    if (chart.current) ringAt(chart.current, cursor === null ? undefined : places.get(cursor));
  }, [cursor, data, places, figures, appearance]);

  useImperativeHandle(handle, () => ({ png: () => chart.current?.toBase64Image("image/png") ?? "" }));

  const at = Math.max(0, cursor === null ? 0 : rows.indexOf(cursor));
  const step = (by: number) => {
    if (rows.length === 0) return;
    const next = cursor === null ? (by > 0 ? 0 : rows.length - 1) : Math.min(rows.length - 1, Math.max(0, at + by));
    setCursor(rows[next]);
  };
  const pan = (by: number) => chart.current?.pan({ x: by * 120 }, undefined, "none");
  const keys: Record<string, () => void> = {
    ArrowLeft: () => step(-1), ArrowRight: () => step(1), PageUp: () => step(-10), PageDown: () => step(10), Home: () => setCursor(rows[0] ?? null), End: () => setCursor(rows[rows.length - 1] ?? null),
    "shift+ArrowLeft": () => pan(1), "shift+ArrowRight": () => pan(-1), "+": () => chart.current?.zoom(1.4), "=": () => chart.current?.zoom(1.4), "-": () => chart.current?.zoom(1 / 1.4), "0": () => chart.current?.resetZoom("none"),
    Enter: () => cursor !== null && open(cursor),
  };
  const press = (event: KeyboardEvent) => {
    const act = keys[event.shiftKey && event.key.startsWith("Arrow") ? `shift+${event.key}` : event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act();
  };
  const told = cursor === null ? w.help : data.tell(cursor);
  return (
    <figure className="chart">
      <div className="chart-box" tabIndex={0} role="slider" aria-label={`${data.label} ${w.help}`} aria-valuemin={0} aria-valuemax={Math.max(0, rows.length - 1)}
        aria-valuenow={at} aria-valuetext={told} onKeyDown={press}>
        <canvas ref={canvas} aria-hidden="true" />
      </div>
      <p className="chart-told">{told}</p>
      <figcaption className="buttons">
        <Button className="button" onPress={() => chart.current?.zoom(1.4)}>{w.zoomIn}</Button>
        <Button className="button" onPress={() => chart.current?.zoom(1 / 1.4)}>{w.zoomOut}</Button>
        <Button className="button" onPress={() => pan(1)}>{w.left}</Button>
        <Button className="button" onPress={() => pan(-1)}>{w.right}</Button>
        <Button className="button" onPress={() => chart.current?.resetZoom("none")}>{w.fit}</Button>
        <Button className="button" isDisabled={cursor === null} onPress={() => cursor !== null && open(cursor)}>{w.open}</Button>
        {children}
      </figcaption>
    </figure>
  );
}

/** How near a click must come to a point, px. */
const NEAR = 28;

function nearestRow(chart: Chart<"line", Point[]>, px: number, py: number, data: PlotData): number | null {
  const { x: xs, y: ys } = chart.scales;
  let [best, distance] = [null as number | null, NEAR];
  for (const line of data.lines) {
    if (line.look === "limit" || line.look === "thickLimit" || line.look === "low" || line.look === "high") continue;
    for (const [i, row] of line.rows.entries()) {
      if (row < 0) continue;
      const d = Math.hypot(xs.getPixelForValue(line.x[i]) - px, ys.getPixelForValue(line.y[i]) - py);
      if (d < distance) [best, distance] = [row, d];
    }
  }
  return best;
}
