import type { Chart, Plugin } from "chart.js";
import type { PlotLine } from "./plotData.ts";
import { inSight, type Point } from "./thinning.ts";

/** The chart's ground is drawn too, so that a saved picture is not transparent. */
export function ground(colour: string): Plugin<"line"> {
  return {
    id: "ground",
    beforeDraw: ({ ctx, width, height }) => {
      ctx.save();
      ctx.fillStyle = colour;
      ctx.fillRect(0, 0, width, height);
      ctx.restore();
    },
  };
}

/** Where the ring stands in each chart. */
const rings = new WeakMap<Chart<"line", Point[]>, Point>();

/** Puts the ring at a point, or takes it away, and draws. */
export function ringAt(chart: Chart<"line", Point[]>, at: Point | undefined): void {
  if (at) rings.set(chart, at);
  else rings.delete(chart);
  chart.draw();
}

/** The ring round the point that the reader is at: drawn over the chart, so that it moves without the chart being worked out anew. */
export function ring(colour: string): Plugin<"line"> {
  return {
    id: "ring",
    afterDatasetsDraw: (chart) => {
      const at = rings.get(chart as Chart<"line", Point[]>);
      const { x, y } = chart.scales;
      if (!at || at.x < x.min || at.x > x.max) return;
      const { ctx } = chart;
      ctx.save();
      ctx.strokeStyle = colour;
      ctx.lineWidth = 3;
      ctx.beginPath();
      ctx.arc(x.getPixelForValue(at.x), y.getPixelForValue(at.y), 11, 0, 2 * Math.PI);
      ctx.stroke();
      ctx.restore();
    },
  };
}

/** Width of a column of thinned points, px: two strokes of a line cannot be told apart in less. */
const COLUMN = 2;

/**
 * Gives the datasets, before every update, what of their curves is in sight, thinned. Instead of Chart.js' own decimation, which takes a column that begins with a
 * break for empty, keeps twice the points and needs each stretch of a line styled by a function to leave the breaks out: that took ten times as long.
 * `lines[i]` is the curve of the dataset `first + i`, `radii[i]` the radius of its points where all are drawn.
 */
export function thinning(lines: readonly PlotLine[], first: number, radii: readonly number[]): Plugin<"line"> {
  let dotted: readonly boolean[] = lines.map(() => true);
  return {
    id: "thinning",
    beforeUpdate: (chart, { mode }) => {
      const { min, max } = chart.scales["x"].getUserBounds();
      const columns = Math.max(50, Math.round(chart.width / COLUMN));
      const seen = lines.map((line) => inSight(line, [min, max], columns));
      const before = dotted;
      dotted = seen.map((one) => one.all);
      seen.forEach(({ points, all }, i) => Object.assign(chart.data.datasets[first + i], { data: points, pointRadius: all ? radii[i] : 0 }));
      // Moving and zooming update in the mode "none", in which Chart.js goes on with the radius of before.
      if (mode !== "none" || dotted.every((all, i) => all === before[i])) return true;
      chart.update();
      return false;
    },
  };
}
