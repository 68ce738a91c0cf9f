/** Prints the time of a whole trend of 10,000 checks (two values, limits, all charts): node tests/bench/trend.ts */
import { trend } from "../../core/trend/trend.ts";
import { gaussian } from "../support/gaussian.ts";

const n = 10_000;
const normal = gaussian(5);
const round = (v: number, step: number): number => (step > 0 ? Math.round(v / step) * step : v);

for (const [name, step] of [["as measured", 0], ["rounded to 0.01", 0.01]] as const) {
  const x = Array.from({ length: n }, (_, i) => round(0.05 * normal() + i * 1e-5, step));
  const y = Array.from({ length: n }, () => round(0.03 * normal(), step));
  const busy = process.cpuUsage();
  const times = Array.from({ length: 9 }, () => {
    const start = performance.now();
    trend({ column: "x", values: x, second: { column: "y", values: y }, baseline: { from: 1, to: 100 }, limits: { lower: -0.4, upper: 0.4 } });
    return performance.now() - start;
  });
  const { user, system } = process.cpuUsage(busy);
  const [first, ...more] = times;
  more.sort((a, b) => a - b);
  console.log(`trend of ${n} checks, ${name}: first ${first.toFixed(0)} ms, then min ${more[0].toFixed(0)}, median ${more[4].toFixed(0)}, max ${more[7].toFixed(0)} ms; processor time each ${((user + system) / 9000).toFixed(0)} ms`);
}
