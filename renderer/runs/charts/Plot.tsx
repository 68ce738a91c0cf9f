import { type KeyboardEvent, type Ref, useImperativeHandle, useMemo, useState } from "react";
import { Button } from "react-aria-components";
import { useShop } from "../../settings/useSettings.tsx";
import { placesOf } from "./plotConfig.ts";
import type { PlotData } from "./plotData.ts";
import { useChart } from "./useChart.ts";

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
  const { words } = useShop();
  const w = words.runs.charts;
  const [cursor, setCursor] = useState(start);
  const places = useMemo(() => placesOf(data), [data]);
  const rows = useMemo(() => [...places.keys()], [places]);
  const { canvas, chart } = useChart(data, places, cursor, setCursor, open);
  useImperativeHandle(handle, () => ({ png: () => chart.current?.toBase64Image("image/png") ?? "" }));

  const at = Math.max(0, cursor === null ? 0 : rows.indexOf(cursor));
  const acts: Acts = {
    go: (row) => setCursor(rows[Math.min(rows.length - 1, Math.max(0, row))] ?? null),
    step: (by) => acts.go(cursor === null ? (by > 0 ? 0 : Infinity) : at + by),
    pan: (by) => chart.current?.pan({ x: by * 120 }, undefined, "none"),
    zoom: (by) => chart.current?.zoom(by),
    fit: () => chart.current?.resetZoom("none"),
    open: () => cursor !== null && open(cursor),
  };
  const told = cursor === null ? w.help : data.tell(cursor);
  return (
    <figure className="chart">
      <div className="chart-box" tabIndex={0} role="slider" aria-label={`${data.label} ${w.help}`} aria-valuemin={0} aria-valuemax={Math.max(0, rows.length - 1)}
        aria-valuenow={at} aria-valuetext={told} onKeyDown={(event) => press(event, acts)}>
        <canvas ref={canvas} aria-hidden="true" />
      </div>
      <p className="chart-told">{told}</p>
      <figcaption className="buttons">
        <Button className="button" onPress={() => acts.zoom(CLOSER)}>{w.zoomIn}</Button>
        <Button className="button" onPress={() => acts.zoom(1 / CLOSER)}>{w.zoomOut}</Button>
        <Button className="button" onPress={() => acts.pan(1)}>{w.left}</Button>
        <Button className="button" onPress={() => acts.pan(-1)}>{w.right}</Button>
        <Button className="button" onPress={acts.fit}>{w.fit}</Button>
        <Button className="button" isDisabled={cursor === null} onPress={acts.open}>{w.open}</Button>
        {children}
      </figcaption>
    </figure>
  );
}

/** One step closer by the buttons and keys. */
const CLOSER = 1.4;

/** What can be done to a chart. Rows are counted in their order; beyond the ends is the last or first. */
interface Acts {
  go(row: number): void;
  step(by: number): void;
  /** By so many steps to earlier rows (negative: later ones). */
  pan(by: number): void;
  zoom(by: number): void;
  fit(): void;
  /** The sheet of the point at the cursor. */
  open(): void;
}

const KEYS: Readonly<Record<string, (acts: Acts) => void>> = {
  ArrowLeft: (a) => a.step(-1), ArrowRight: (a) => a.step(1), PageUp: (a) => a.step(-10), PageDown: (a) => a.step(10), Home: (a) => a.go(0), End: (a) => a.go(Infinity),
  "shift+ArrowLeft": (a) => a.pan(1), "shift+ArrowRight": (a) => a.pan(-1), "+": (a) => a.zoom(CLOSER), "=": (a) => a.zoom(CLOSER), "-": (a) => a.zoom(1 / CLOSER), "0": (a) => a.fit(),
  Enter: (a) => a.open(),
};

function press(event: KeyboardEvent, acts: Acts): void {
  const act = KEYS[event.shiftKey && event.key.startsWith("Arrow") ? `shift+${event.key}` : event.key];
  if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  act(acts);
}
