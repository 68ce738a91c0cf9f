/**
 * 100,000 checks in ten runs of 10,000: what one more check costs as the library grows, what a check takes on the disk, and how long a run's
 * list, page, series and trend take. Argument: another number of checks.
 */
import { statSync } from "node:fs";
import { medianOf } from "../../core/statistics/median.ts";
import { openLibrary, type Library } from "../../electron/host/library/library.ts";
import { adviceOfRun } from "../../electron/host/runs/adviceOfRun.ts";
import { asideOfRun } from "../../electron/host/runs/asideOfRun.ts";
import { chartsOfRun } from "../../electron/host/runs/chartsOfRun.ts";
import { freshFolder, overlay } from "../electron/library/records.ts";
import { Filling } from "./parts/filledLibrary.ts";

const total = Number(process.argv[2] ?? 100_000);
const perRun = total / 10;
const library = await openLibrary(freshFolder());
const filling = new Filling(library, total);
await filling.start();
for (const share of [0, 0.1, 0.25, 0.5, 1]) {
  await filling.fill(Math.round(share * total));
  const times: number[] = [];
  // These are taken away again, so that each run keeps its size.
  for (let k = 0; k < 60; k++) {
    const started = performance.now();
    const { id } = await library.checks.add(filling.check(10_000_000 + filling.made + k, 1));
    times.push(performance.now() - started);
    await library.checks.delete(id);
  }
  console.log(`a check added to ${filling.made}: median ${medianOf(times).toFixed(2)} ms, 90 % within ${times.sort((a, b) => a - b)[53].toFixed(2)} ms (each on the disk)`);
}
library.opened.raw.pragma("wal_checkpoint(TRUNCATE)");
console.log(`database: ${(statSync(library.file).size / total / 1024).toFixed(2)} KiB per check (record of ${JSON.stringify(filling.check(1, 1).outcome.record).length} bytes, overlay of ${overlay.stretches.length} stretches)`);
await time("runs.list", () => library.runs.list());
await time("checks.page(100) in the middle", () => library.checks.page(5, { offset: perRun / 2, limit: 100 }));
await time(`series of a run of ${perRun}, one value`, () => library.checks.series(5, { values: ["position"] }));
await time(`series of a run of ${perRun}, six values`, () => library.checks.series(5, { values: ["position", "offsetX", "offsetY", "rotation", "skew", "scaleX"] }));
await time("what the charts of a run ask for (one value)", () => chartsOfRun(library, 5, { value: "offsetX" }));
await time("advice on a run (seven trends; worked out once until something is written)", () => adviceOfRun(library, 5));
await time("the set-aside of a run", () => asideOfRun(library, 5));
await library.close();

async function time(what: string, work: (library: Library) => Promise<unknown>): Promise<void> {
  const times: number[] = [];
  const busy = process.cpuUsage();
  for (let k = 0; k < 11; k++) {
    const started = performance.now();
    await work(library);
    times.push(performance.now() - started);
  }
  console.log(`${what}: median ${medianOf(times).toFixed(1)} ms, worst ${Math.max(...times).toFixed(1)} ms, processor time each ${(process.cpuUsage(busy).user / 11_000).toFixed(1)} ms`);
}
