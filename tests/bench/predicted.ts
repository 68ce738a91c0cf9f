/**
 * Predicted U against the U that the check states, and against its real errors, on drawn pictures of one layout:
 * node tests/bench/predicted.ts [--n 200] [--kinds scan,phone] [--workers 1] [--draw]
 *
 * Pictures are drawn once and kept below .cache/accuracy, so that a run that was stopped goes on where it was; `--draw` draws and measures none.
 */
import { parseArgs } from "node:util";
import { Piscina } from "piscina";
import { predict, type Prediction } from "../../core/design/predict.ts";
import type { Setup } from "../../core/design/setup.ts";
import { medianOf } from "../../core/statistics/median.ts";
import { layout } from "./parts/predictedScene.ts";
import { FIGURES, type Figure, type FoundU, type PredictedTask } from "./parts/predictedTrial.ts";

const { values: options } = parseArgs({
  options: { n: { type: "string", default: "20" }, kinds: { type: "string", default: "scan,phone" }, workers: { type: "string", default: "1" }, draw: { type: "boolean", default: false } },
});
const [n, workers] = [options.n, options.workers].map(Number);
const kinds = options.kinds.split(",");
if (![n, workers].every((v) => Number.isInteger(v) && v > 0) || !kinds.every((k) => k === "scan" || k === "phone")) {
  console.error("--n and --workers take whole numbers from 1, --kinds scan, phone or both.");
  process.exit(64);
}

const pool = new Piscina<PredictedTask, FoundU | null>({ filename: new URL("./parts/predictedTrial.ts", import.meta.url).href, maxThreads: workers, minThreads: 1 });
for (const kind of kinds) {
  const results = await Promise.all(Array.from({ length: n }, (_, index) => pool.run({ scan: kind === "scan", index, drawOnly: options.draw })));
  if (!options.draw) report(kind, results.filter((r) => r !== null));
}
await pool.destroy();

function report(kind: string, found: readonly FoundU[]): void {
  const scale = medianOf(found.map((f) => f.pxPerMm));
  const setup: Setup = kind === "scan" ? { kind: "scanner", dpi: 300 } : { kind: "phone", distance: distanceFor(scale) };
  const prediction = predict(layout, setup);
  if (!prediction.ok) throw new Error(prediction.reason);
  console.log(`${kind === "scan" ? "scan, 300 dpi" : `phone, ${scale.toFixed(1)} px/mm`}: ${found.length} of ${n} pictures measured`);
  for (const figure of FIGURES) console.log(lineOf(figure, prediction, found));
}

function lineOf(figure: Figure, p: Prediction, found: readonly FoundU[]): string {
  const predicted = figure === "worst" ? p.worst.U : p[figure];
  const stated = found.map((f) => f.U[figure]).sort((a, b) => a - b);
  const errors = found.flatMap((f) => f.errors[figure]).sort((a, b) => a - b);
  const ratio = predicted / medianOf(stated);
  const within = found.flatMap((f) => f.errors[figure].map((e) => e <= predicted));
  return `  ${figure.padEnd(9)} predicted ${predicted.toFixed(4)}, stated: median ${medianOf(stated).toFixed(4)} (ratio ${ratio.toFixed(2)}), 10 % ${quantile(stated, 0.1).toFixed(4)}, 90 % ${quantile(stated, 0.9).toFixed(4)}; `
    + `95 % of real errors within ${quantile(errors, 0.95).toFixed(4)}, ${((100 * within.filter(Boolean).length) / within.length).toFixed(0)} % of them within the prediction`;
}

function quantile(sorted: readonly number[], q: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))];
}

/** How far a phone stands for this scale (px per mm goes with one over the distance). */
function distanceFor(pxPerMm: number): number {
  const at = predict(layout, { kind: "phone", distance: 1000 });
  return at.ok ? (1000 * at.pxPerMm) / pxPerMm : 1000;
}
