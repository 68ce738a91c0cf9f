// Damaged drawings: each is read to a job or refused in a sentence, within 5 s of processor time and 1 GB. Run: node tests/fuzz/drawings.ts [mutations of each format: 10000] [seed: 1] [format]
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Worker } from "node:worker_threads";
import { FORMATS, mutation, seedsOf, type Format } from "./mutations.ts";

const [COUNT, SEED] = [Number(process.argv[2] ?? 10_000), Number(process.argv[3] ?? 1)];
/** ms of processor time, ms of waiting on a busy machine, MB of heap and of the whole process. */
const [LONGEST, HANGS, HEAP, MEMORY] = [5000, 60_000, 800, 1000];

interface Told {
  readonly index: number;
  readonly outcome?: string;
  readonly ms?: number;
}

/** Runs cases from `from` until all are done or one breaks the worker; gives the next index to go on with. */
function run(format: Format, from: number, told: (t: Told) => void): Promise<{ next: number; broke: string | null }> {
  return new Promise((resolve) => {
    const worker = new Worker(new URL("worker.ts", import.meta.url), { workerData: { format, seed: SEED, from, to: COUNT }, resourceLimits: { maxOldGenerationSizeMb: HEAP } });
    let at = from;
    let broke: string | null = null;
    const hang = () => {
      broke = `hangs for more than ${HANGS / 1000} s`;
      void worker.terminate();
    };
    let timer = setTimeout(hang, HANGS);
    worker.on("message", (t: Told) => {
      clearTimeout(timer);
      timer = setTimeout(hang, HANGS);
      at = t.index;
      told(t);
    });
    worker.on("error", (error) => {
      broke = `breaks the thread: ${error.message}`;
    });
    worker.on("exit", () => {
      clearTimeout(timer);
      resolve({ next: at + 1, broke });
    });
  });
}

let failures = 0;
for (const format of FORMATS.filter((f) => process.argv[4] === undefined || f === process.argv[4])) {
  const seeds = await seedsOf(format);
  const counts = { read: 0, refused: 0 };
  let slowest = 0;
  let peak = 0;
  const fail = (index: number, why: string) => {
    failures++;
    const file = join(mkdtempSync(join(tmpdir(), "kerfmark-fuzz-")), `${index}.${format}`);
    writeFileSync(file, mutation(format, seeds, SEED, index));
    console.log(`${format} ${index}: ${why}\n  the file: ${file}`);
  };
  for (let next = 0; next < COUNT;) {
    const ended = await run(format, next, ({ index, outcome, ms = 0 }) => {
      peak = Math.max(peak, process.memoryUsage.rss() / 1e6);
      slowest = Math.max(slowest, ms);
      if (outcome === "read" || outcome === "refused") counts[outcome]++;
      else if (outcome !== undefined) fail(index, outcome);
      if (ms > LONGEST) fail(index, `took ${(ms / 1000).toFixed(1)} s`);
    });
    if (ended.broke) fail(ended.next - 1, ended.broke);
    next = ended.next;
  }
  if (peak > MEMORY) {
    failures++;
    console.log(`${format}: the process took ${peak.toFixed(0)} MB`);
  }
  console.log(`${format}: ${COUNT} mutations, ${counts.read} read, ${counts.refused} refused; slowest ${(slowest / 1000).toFixed(2)} s of processor, peak memory ${peak.toFixed(0)} MB`);
}
if (failures > 0) process.exitCode = 1;
console.log(failures === 0 ? "All held." : `${failures} did not hold.`);
