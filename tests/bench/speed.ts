/**
 * Speed as ratios within one run (min, median and spread of each time): node tests/bench/speed.ts
 * The sheet is drawn by tests/electron/host/measure/sheet.ts.
 */
import { spawnSync } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { MeasurePool } from "../../electron/host/measure/pool.ts";
import { drawSheet, JOB } from "../electron/host/measure/sheet.ts";

const folder = await mkdtemp(join(tmpdir(), "speed-"));
const at = (name: string) => join(folder, name);
const CLI = new URL("../../electron/cli/kerfmark.ts", import.meta.url).pathname;

async function time(rounds: number, ...works: (() => Promise<unknown>)[]): Promise<number[][]> {
  const times: number[][] = works.map(() => []);
  for (let i = 0; i < rounds; i++) {
    for (const [k, work] of works.entries()) {
      const start = performance.now();
      await work();
      times[k].push(performance.now() - start);
    }
  }
  return times.map((t) => t.sort((a, b) => a - b));
}

const median = (sorted: number[]) => sorted[sorted.length >> 1];
const shown = (t: number[]) => `min ${t[0].toFixed(0)}, median ${median(t).toFixed(0)}, max ${t[t.length - 1].toFixed(0)} ms`;

/** Refusals by their message: a time without a measurement is no figure. */
const refused = new Set<string>();

async function measured(pool: MeasurePool, file: string): Promise<void> {
  const { record } = await pool.check({ image: file, name: file, job: JOB });
  if (record.status === "refused") refused.add(record.refusal.message);
}

async function againstDecoding(title: string, file: string, rounds: number, limit: number): Promise<void> {
  const pool = new MeasurePool({ workers: 1 });
  await measured(pool, file);
  await measured(pool, file);
  const decode = () => sharp(file, { limitInputPixels: false }).greyscale().raw().toBuffer();
  const [check, grey] = await time(rounds, () => measured(pool, file), decode);
  console.log(`${title}: check ${shown(check)}; decode to grey ${shown(grey)}; ratio ${(median(check) / median(grey)).toFixed(2)} (at most ${limit})`);
  for (const message of refused) console.log(`  NOT MEASURED: ${message}`);
  refused.clear();
  await pool.close();
}

await writeFile(at("tray.job.json"), JSON.stringify(JOB));
await drawSheet({ pxPerMm: 13.87 }).jpeg({ quality: 92 }).toFile(at("photo.jpg"));
await againstDecoding("12 MP colour JPEG", at("photo.jpg"), 9, 3);

for (const lookAlikes of [10, 100, 1000]) {
  await drawSheet({ pxPerMm: 13.87, lookAlikes }).jpeg({ quality: 92 }).toFile(at(`art-${lookAlikes}.jpg`));
  await againstDecoding(`12 MP colour JPEG, ${lookAlikes} look-alikes`, at(`art-${lookAlikes}.jpg`), 5, 3);
}

{
  const names = Array.from({ length: 20 }, () => at("photo.jpg"));
  const [one, two] = [new MeasurePool({ workers: 1 }), new MeasurePool({ workers: 2 })];
  const all = async (pool: MeasurePool) => {
    await Promise.all(names.map((name) => measured(pool, name)));
  };
  await all(two);
  await measured(one, names[0]);
  const [alone, together] = await time(3, () => all(one), () => all(two));
  console.log(`20 pictures: one worker ${shown(alone)}; two ${shown(together)}; rate ${(median(alone) / median(together)).toFixed(2)} (at least 1.7)`);
  await one.close();
  await two.close();
}

{
  const times = await time(5, async () => {
    const { status, stderr } = spawnSync(process.execPath, [CLI, "check", "--job", at("tray.job.json"), "--json", at("photo.jpg")], { encoding: "utf8" });
    if (status !== 0 && status !== 1) throw new Error(stderr);
  });
  console.log(`cold "kerfmark check", one picture of 12 MP: ${shown(times[0])} (at most 2500)`);
}

{
  await drawSheet({ pxPerMm: 23.6 * 1.415 }).greyscale().toColourspace("b-w").tiff({ compression: "lzw" }).toFile(at("scan.tif"));
  await againstDecoding("600 dpi A3 grey TIFF, 69 MP", at("scan.tif"), 3, 2.5);
  const script = `import(${JSON.stringify(CLI.replace("kerfmark.ts", "main.ts"))}).then(async (m) => { await m.main(process.argv.slice(1)); console.error("peak " + process.resourceUsage().maxRSS / 1024); })`;
  const { stderr } = spawnSync(process.execPath, ["-e", script, "check", "--job", at("tray.job.json"), "--json", at("scan.tif")], { encoding: "utf8" });
  console.log(`its peak memory, whole process: ${Number(/peak ([\d.]+)/.exec(stderr)?.[1]).toFixed(0)} MB (at most 1000)`);
}
await rm(folder, { recursive: true });
