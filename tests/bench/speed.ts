/**
 * Speed, as ratios within one run: node tests/bench/speed.ts [--part photo,scan,pool,lookalikes,cold] [--rounds 7]
 *
 * Beside the time on the clock stands the processor time, all threads together: on a machine that does other things too only that can be compared.
 * Photos are core/sample's (kept below .cache/accuracy); the scan and the look-alikes are drawn by tests/electron/host/measure/sheet.ts.
 */
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import sharp from "sharp";
import { trialOf } from "../../core/sample/scenarios.ts";
import type { Job } from "../../core/job/schema.ts";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { drawSheet, JOB } from "../electron/host/measure/sheet.ts";
import { pictureOf } from "./parts/accuracyStore.ts";
import { inChild, shown, summary, timed, type Times } from "./parts/timing.ts";

const { values: options } = parseArgs({ options: { part: { type: "string", default: "photo,lookalikes,pool,cold,scan" }, rounds: { type: "string", default: "7" } } });
const rounds = Number(options.rounds);
const folder = await mkdtemp(join(tmpdir(), "speed-"));
const at = (name: string): string => join(folder, name);
const refused = new Set<string>();
const CLI = new URL("../../tools/kerfmark.mjs", import.meta.url).pathname;

const PARTS: Readonly<Record<string, () => Promise<void>>> = { photo: photos, lookalikes, pool: twoWorkers, cold, scan };
const wanted = options.part.split(",");
if (!wanted.every((name) => name in PARTS) || !(Number.isInteger(rounds) && rounds > 0)) {
  console.error(`--part takes some of ${Object.keys(PARTS).join()}, --rounds a whole number.`);
  process.exit(64);
}
try {
  for (const name of wanted) await PARTS[name]();
} finally {
  await rm(folder, { recursive: true });
}

/** Measures a picture; a refusal is told, since the time of one is no figure. */
async function measured(pool: MeasurePool, file: string, job: Job): Promise<void> {
  const { record } = await pool.check({ image: file, name: file, job });
  if (record.status === "refused") refused.add(record.refusal.message);
}
/** A check on one warm worker against sharp's decoding of the same file to grey. */
async function againstDecoding(title: string, file: string, job: Job, limit: number | null): Promise<Times> {
  const pool = new MeasurePool({ workers: 1 });
  for (let i = 0; i < 3; i++) await measured(pool, file, job);
  const decode = () => sharp(file, { limitInputPixels: false }).greyscale().raw().toBuffer();
  await decode();
  const [check, grey] = await timed(rounds, () => measured(pool, file, job), decode);
  await pool.close();
  console.log(`${title}\n  check          ${shown(check)}\n  decode to grey ${shown(grey)}\n  ratio ${(check.wall / grey.wall).toFixed(2)} by the clock, ${(check.cpu / grey.cpu).toFixed(2)} in processor time${limit ? ` (at most ${limit})` : ""}`);
  for (const message of refused) console.log(`  NOT MEASURED: ${message}`);
  refused.clear();
  return check;
}

async function photos(): Promise<void> {
  for (const index of [1, 2, 4]) {
    const trial = trialOf("photo", index, 1);
    await againstDecoding(`12 MP JPEG, photo:${index} of the accuracy bench`, await pictureOf({ row: "photo", index, seed: 1 }, trial), trial.job, 3);
  }
}

async function lookalikes(): Promise<void> {
  const counts = [10, 100, 1000];
  const times: Times[] = [];
  for (const lookAlikes of counts) {
    const file = at(`art-${lookAlikes}.jpg`);
    await drawSheet({ pxPerMm: 13.87, lookAlikes }).jpeg({ quality: 92 }).toFile(file);
    times.push(await againstDecoding(`12 MP JPEG with ${lookAlikes} look-alikes`, file, JOB, null));
  }
  const slope = (i: number): string => ((times[i].cpu - times[i - 1].cpu) / (counts[i] - counts[i - 1])).toFixed(3);
  console.log(`  processor time for each look-alike more: ${slope(1)} ms from 10 to 100, ${slope(2)} ms from 100 to 1000`);
}

async function twoWorkers(): Promise<void> {
  const trial = trialOf("photo", 1, 1);
  const twenty = Array.from({ length: 20 });
  const file = await pictureOf({ row: "photo", index: 1, seed: 1 }, trial);
  const [one, two] = [new MeasurePool({ workers: 1 }), new MeasurePool({ workers: 2 })];
  const all = async (pool: MeasurePool) => void (await Promise.all(twenty.map(() => measured(pool, file, trial.job))));
  await Promise.all([measured(two, file, trial.job), measured(two, file, trial.job), measured(one, file, trial.job)]);
  const [alone, together] = await timed(Math.min(rounds, 3), () => all(one), () => all(two));
  console.log(`20 pictures\n  one worker  ${shown(alone)}\n  two workers ${shown(together)}\n  rate ${(alone.wall / together.wall).toFixed(2)} (at least 1.7, where nothing else runs)`);
  await one.close();
  await two.close();
}

/** A check in a process of its own, from its start to its end, what Node compiled at the last one being kept. */
async function cold(): Promise<void> {
  const trial = trialOf("photo", 1, 1);
  const file = await pictureOf({ row: "photo", index: 1, seed: 1 }, trial);
  await writeFile(at("job.json"), JSON.stringify(trial.job));
  const run = () => inChild(CLI, ["check", "--job", at("job.json"), "--json", file]);
  run();
  const runs = Array.from({ length: rounds }, run);
  console.log(`cold "kerfmark check" of one picture of 12 MP: ${shown(summary(runs))} (at most 2500 by the clock)`);
}

async function scan(): Promise<void> {
  const file = at("scan.tif");
  await drawSheet({ pxPerMm: 23.6 * 1.415 }).greyscale().toColourspace("b-w").tiff({ compression: "lzw" }).toFile(file);
  await writeFile(at("job.json"), JSON.stringify(JOB));
  await againstDecoding("600 dpi A3 grey TIFF, 69 MP", file, JOB, 2.5);
  console.log(`  peak memory of the whole process: ${inChild(CLI, ["check", "--job", at("job.json"), "--json", file]).peakMb.toFixed(0)} MB (at most 1000)`);
}
