/**
 * 100,000 checks in ten runs of 10,000: what one more check costs as the library grows, what a check takes on the disk, and how long a run's
 * list, page, series and trend take. Argument: another number of checks.
 */
import { statSync } from "node:fs";
import { openLibrary, type Library } from "../../electron/host/library/library.ts";
import { addCheck } from "../../electron/host/library/checks.ts";
import { freshFolder, measured, overlay, picture, second, trayJob } from "../electron/library/records.ts";

const total = Number(process.argv[2] ?? 100_000);
const perRun = total / 10;
const library = await openLibrary(freshFolder());
const { id: jobVersionId } = await library.jobs.put(trayJob());
for (let r = 0; r < 10; r++) await library.runs.start({ jobVersionId, name: `run ${r + 1}` });

const check = (i: number, runId: number) => ({
  runId, jobVersionId, picture: picture(`bench-${i}`), takenAt: second(i % perRun),
  outcome: { record: measured(String((i % perRun) + 1), 0.3 * Math.sin(i / 40) + 0.0001 * i / perRun, { image: `sheet-${i}.jpg` }), overlay },
});
let made = 0;
for (const share of [0, 0.1, 0.25, 0.5, 1]) {
  await fill(Math.round(share * total));
  const times: number[] = [];
  // These are taken away again, so that each run keeps its size.
  for (let k = 0; k < 60; k++) {
    const started = performance.now();
    const { id } = await library.checks.add(check(10_000_000 + made + k, 1));
    times.push(performance.now() - started);
    await library.checks.delete(id);
  }
  console.log(`a check added to ${made}: median ${median(times).toFixed(2)} ms, 90 % within ${times.sort((a, b) => a - b)[53].toFixed(2)} ms (each on the disk)`);
}
library.opened.raw.pragma("wal_checkpoint(TRUNCATE)");
console.log(`database: ${(statSync(library.file).size / total / 1024).toFixed(2)} KiB per check (record of ${JSON.stringify(check(1, 1).outcome.record).length} bytes, overlay of ${overlay.stretches.length} stretches)`);
await time("runs.list", () => library.runs.list());
await time("checks.page(100) in the middle", () => library.checks.page(5, { offset: perRun / 2, limit: 100 }));
await time(`series of a run of ${perRun}, one value`, () => library.checks.series(5, { values: ["position"] }));
await time(`series of a run of ${perRun}, six values`, () => library.checks.series(5, { values: ["position", "offsetX", "offsetY", "rotation", "skew", "scaleX"] }));
await library.close();

/** Fills up to `n` checks, many in one transaction: as a restored or imported library grows. */
async function fill(n: number): Promise<void> {
  while (made < n) {
    const end = Math.min(n, made + 1000);
    await library.opened.db.transaction().execute(async (t) => {
      for (; made < end; made++) await addCheck(t, check(made, 1 + Math.floor(made / perRun)), new Date());
    });
  }
}

async function time(what: string, work: (library: Library) => Promise<unknown>): Promise<void> {
  const times: number[] = [];
  for (let k = 0; k < 11; k++) {
    const started = performance.now();
    await work(library);
    times.push(performance.now() - started);
  }
  console.log(`${what}: median ${median(times).toFixed(1)} ms, worst ${Math.max(...times).toFixed(1)} ms`);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}
