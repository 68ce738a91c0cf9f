/** Prints the power of the charts by seeded simulation: node tests/bench/power.ts [runs] */
import { DRIFT_CHART } from "../../core/trend/trend.ts";
import { BASELINE, changeStudy, driftStudy, falseAlarms, forecastStudy, stepStudy } from "./parts/powerStudy.ts";

const runs = Number(process.argv[2] ?? 1000);
const print = (what: string, figure: string): void => console.log(`${what.padEnd(86)} ${figure}`);

console.log(`Drift chart: ${DRIFT_CHART}, baseline of ${BASELINE} sheets, scatter 0.05 mm, ${runs} runs each.`);
for (const chart of ["drift", "ewma", "cusum", "individuals"] as const) {
  const { share, medianWay } = driftStudy(runs, chart);
  print(`${chart}: drift of 0.1 mm in 200 sheets signalled before the mean has moved 0.08 mm`, `${(100 * share).toFixed(1)} % (median at ${medianWay.toFixed(3)} mm)`);
}
for (const sigmas of [1, 2, 3]) print(`${DRIFT_CHART}: step of ${sigmas} sigma, checks to the signal (median)`, String(stepStudy(runs, DRIFT_CHART, sigmas)));
for (const [chart, rate] of falseAlarms(runs, 600)) print(`${chart}: false alarms per 300 sheets in control`, rate.toFixed(2));
for (const sigmas of [1, 1.5, 2, 3]) print(`change point, step of ${sigmas} sigma at row 72 of 120: distance in checks (median)`, String(changeStudy(runs, 120, sigmas)));
for (const [rows, since, slope] of [[100, 0, 0.001], [200, 0, 0.0005], [150, 50, 0.001], [200, 100, 0.001], [400, 0, 0.0003]]) {
  const { held, given } = forecastStudy(runs, rows, since, slope);
  print(`forecast at 90 %: drift of ${100 * slope} mm per 100 from row ${since} of ${rows}: intervals that hold the truth`, `${(100 * held).toFixed(1)} % of ${given}`);
}
