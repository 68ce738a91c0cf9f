import { parentPort, workerData } from "node:worker_threads";
import { holds } from "./holds.ts";
import { mutation, seedsOf, type Format } from "./mutations.ts";

/** Works through damaged files of a format; tells before each which one, and after each what came of it and the processor time, ms. */
const { format, seed, from, to } = workerData as { format: Format; seed: number; from: number; to: number };
// The PDF package tells of every damaged object on the console.
console.warn = () => undefined;
const seeds = await seedsOf(format);
for (let index = from; index < to; index++) {
  parentPort?.postMessage({ index });
  const cpu = process.threadCpuUsage();
  let outcome: string;
  try {
    outcome = await holds(format, mutation(format, seeds, seed, index));
  } catch (error) {
    outcome = error instanceof Error ? `threw ${error.stack ?? error.message}` : "threw";
  }
  const { user, system } = process.threadCpuUsage(cpu);
  parentPort?.postMessage({ index, outcome, ms: (user + system) / 1000 });
}
