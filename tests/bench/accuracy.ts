/**
 * Accuracy on drawn pictures with known truth, row by row, beside what each row must reach:
 * node tests/bench/accuracy.ts [--rows scan,photo] [--n 20] [--from 0] [--seed 1] [--workers 1]
 *
 * Every picture that is refused, beyond its U or beyond the row's limit is listed by name. `--show ROW:INDEX` checks one of them and prints what
 * is known about it, mark by mark and cut by cut; `--draw` draws the pictures and measures none. Pictures are kept below .cache/accuracy.
 */
import { writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { Piscina } from "piscina";
import { ROWS, trialOf, type Row } from "../../core/sample/scenarios.ts";
import { decodePicture } from "../../electron/host/pictures/decode.ts";
import { cutErrors } from "./parts/accuracyCuts.ts";
import { reportRefusals, reportRow } from "./parts/accuracyReport.ts";
import { show } from "./parts/accuracyShow.ts";
import { pictureOf, type TrialTask } from "./parts/accuracyStore.ts";
import runTrial, { type TrialResult } from "./parts/accuracyTrial.ts";

const { values: options } = parseArgs({
  options: {
    rows: { type: "string", default: ROWS.join() }, n: { type: "string", default: "20" }, from: { type: "string", default: "0" }, seed: { type: "string", default: "1" },
    workers: { type: "string", default: "1" }, show: { type: "string" }, draw: { type: "boolean", default: false },
  },
});
const rows = options.rows.split(",").filter((row): row is Row => (ROWS as readonly string[]).includes(row));
const [n, from, seed, workers] = [options.n, options.from, options.seed, options.workers].map(Number);
if (rows.length !== options.rows.split(",").length || ![n, from, seed, workers].every((v) => Number.isInteger(v) && v >= 0) || n < 1 || workers < 1) {
  console.error(`--rows takes some of ${ROWS.join()}; --n, --from, --seed and --workers take whole numbers.`);
  process.exit(64);
}

if (options.show) await showOne(options.show);
else if (options.draw) for (const row of rows) for (let i = 0; i < n; i++) await pictureOf({ row, index: from + i, seed });
else await bench();

async function showOne(name: string): Promise<void> {
  const [row, index = "0"] = name.split(":");
  const task: TrialTask = { row: row as Row, index: Number(index), seed };
  const { scene } = trialOf(task.row, task.index, seed);
  const result = await runTrial(task);
  writeFileSync(`${result.file}.job.json`, JSON.stringify(result.job, null, 1));
  writeFileSync(`${result.file}.truth.json`, JSON.stringify(result.truth, null, 1));
  console.log(show(result, scene).join("\n"));
  if (scene.cutting) console.log(cutErrors(await decodePicture(result.file), result.job, scene, result.truth.view.pxPerMm).join("\n"));
}

async function bench(): Promise<void> {
  const pool = new Piscina<TrialTask, TrialResult>({ filename: new URL("./parts/accuracyTrial.ts", import.meta.url).href, maxThreads: workers, minThreads: 1 });
  for (const row of rows) {
    let done = 0;
    const results = await Promise.all(Array.from({ length: n }, async (_, i) => {
      const result = await pool.run({ row, index: from + i, seed });
      if (process.stderr.isTTY) process.stderr.write(`\r${row} ${++done}/${n} `);
      return result;
    }));
    console.log(`\n${(row === "refusal" ? reportRefusals(results) : reportRow(row, results)).join("\n")}`);
  }
  await pool.destroy();
}
