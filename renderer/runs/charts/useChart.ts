import { Chart } from "chart.js";
import { type RefObject, useEffect, useRef } from "react";
import { useShop } from "../../settings/useSettings.tsx";
import { useAppearance } from "../../style/useAppearance.ts";
import { ringAt } from "./chartPlugins.ts";
import { type placesOf, plotConfig } from "./plotConfig.ts";
import type { PlotData } from "./plotData.ts";
import type { Point } from "./thinning.ts";

type LineChart = Chart<"line", Point[]>;

interface Drawn {
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  /** The chart on the canvas, while there is one. */
  readonly chart: RefObject<LineChart | null>;
}

/**
 * Draws a chart on a canvas, with a ring about the row at the cursor; anew when what it shows, the shop's figures or the theme change, so that its zoom stays else.
 *
 * @param places the point of each row.
 * @param onGo a point was clicked; onOpen: that at the cursor was. Both must be stable.
 */
export function useChart(data: PlotData, places: ReturnType<typeof placesOf>, cursor: number | null, onGo: (row: number) => void, onOpen: (row: number) => void): Drawn {
  const { figures } = useShop();
  const appearance = useAppearance();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<LineChart | null>(null);
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
      if (row === cursorRef.current) onOpen(row);
      else onGo(row);
    };
    element.dataset["drawn"] = String(Math.round(performance.now() - began));
    chart.current = made;
    return () => made.destroy();
  }, [data, places, figures, appearance, onGo, onOpen]);

  // Only the ring moves: the chart is not made anew, so that the zoom stays.
  useEffect(() => {
    if (chart.current) ringAt(chart.current, cursor === null ? undefined : places.get(cursor));
  }, [cursor, data, places, figures, appearance]);

  return { canvas, chart };
}

/** How near a click must come to a point, px. */
const NEAR = 28;

/** The row whose point, of a line that is no limit, lies nearest to a place on the canvas, px; null where none is near. */
function nearestRow(chart: LineChart, px: number, py: number, data: PlotData): number | null {
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
