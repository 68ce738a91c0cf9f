/**
 * The rate that the hot folder keeps up with: 12 MP photos (drawn, JPEG) laid into it all at once, measured on all cores and entered in a library.
 * Once with one job, once with three of which the sheet's is tried last. Arguments: number of
 * pictures (default 12) and of round look-alikes in the artwork (default none).
 */
import { mkdirSync } from "node:fs";
import { availableParallelism, loadavg } from "node:os";
import { join } from "node:path";
import type { Job } from "../../core/job/schema.ts";
import type { JobVersion } from "../../electron/host/library/jobs.ts";
import { openLibrary } from "../../electron/host/library/library.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { HotFolder } from "../../electron/host/watch/hotFolder.ts";
import { drawSheet, JOB } from "../electron/host/measure/sheet.ts";
import { freshFolder } from "../electron/library/records.ts";

const count = Number(process.argv[2] ?? 12);
const lookAlikes = Number(process.argv[3] ?? 0);
const inbox = join(freshFolder(), "inbox");
mkdirSync(inbox);
// Each one differs, so that none is taken for another.
for (let i = 0; i < count; i++) await drawSheet({ pxPerMm: 13.87, right: 0.05 + 0.01 * i, lookAlikes }).jpeg({ quality: 92 }).toFile(join(inbox, `${i}.jpg`));

/** The same sheet with its marks elsewhere. */
const other = (id: string, by: number): Job => ({ ...JOB, id, marks: JOB.marks.map((m, i) => ({ ...m, x: m.x + (i % 2 ? by : -by / 2), y: m.y + (i % 3) * by })) });

await rate("one job", [JOB]);
await rate("three jobs, the sheet's own last", [other("OTHER-1", 7), other("OTHER-2", -9), JOB]);

async function rate(what: string, jobs: readonly Job[]): Promise<void> {
  const library = await openLibrary(freshFolder());
  const versions: JobVersion[] = [];
  for (const job of jobs) versions.push(await library.jobs.put(job));
  const pool = new MeasurePool();
  const kinds: Record<string, number> = {};
  let first = 0;
  const started = performance.now();
  const busy = process.cpuUsage();
  const settle = 100;
  const folder = new HotFolder(inbox, {
    library, measuring: pool, jobs: async () => versions, workers: pool.workers, settle,
    onTaken: (t) => {
      first ||= performance.now();
      kinds[t.kind] = (kinds[t.kind] ?? 0) + 1;
    },
  });
  await folder.idle();
  const seconds = (performance.now() - started - settle) / 1000;
  const { user, system } = process.cpuUsage(busy);
  const each = (user + system) / 1e6 / count;
  await folder.close();
  await pool.close();
  await library.close();
  const load = loadavg()[0].toFixed(1);
  console.log(`${what}: ${count} pictures of 12 MP in ${seconds.toFixed(1)} s, ${(count / seconds).toFixed(2)} a second, workers starting included; after the first ${((count - 1) / ((performance.now() - first) / 1000)).toFixed(2)} a second`);
  console.log(`  processor time ${each.toFixed(2)} s a picture, so that two idle cores keep up with about ${(2 / each).toFixed(1)} a second`);
  console.log(`  ${JSON.stringify(kinds)}; ${availableParallelism()} cores, load average ${load}`);
}
