/**
 * Accuracy on drawn pictures with known truth, row by row. Alone: `node tests/bench/accuracy.ts --rows scan,photo --n 20`.
 * `--draw ROW:INDEX` draws one picture and prints its path and truth.
 */
import { writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { Piscina } from "piscina";
import { ROWS, trialOf, type Row } from "../../core/sample/scenarios.ts";
import { truthOf } from "../../core/sample/truth.ts";
import { quantile, QUANTITIES, score, type Scored } from "./parts/accuracyScore.ts";
import { pictureOf, type TrialResult, type TrialTask } from "./parts/accuracyTrial.ts";

const { values: options } = parseArgs({
  options: {
    rows: { type: "string", default: ROWS.join(",") }, n: { type: "string", default: "20" }, from: { type: "string", default: "0" },
    workers: { type: "string", default: "2" }, seed: { type: "string", default: "1" }, draw: { type: "string" }, verbose: { type: "boolean", default: false },
  },
});
const seed = Number(options.seed);

if (options.draw) {
  const [row, index = "0"] = options.draw.split(":");
  const task = { row: row as Row, index: Number(index), seed };
  const trial = trialOf(task.row, task.index, seed);
  const file = await pictureOf(task);
  writeFileSync(`${file}.job.json`, JSON.stringify(trial.job, null, 1));
  writeFileSync(`${file}.truth.json`, JSON.stringify(truthOf(trial.scene), null, 1));
  console.log(`${file}\n${file}.job.json\n${file}.truth.json\n${trial.note}`);
} else {
  await bench();
}

async function bench(): Promise<void> {
  const pool = new Piscina<TrialTask, TrialResult>({ filename: new URL("./parts/accuracyTrial.ts", import.meta.url).href, maxThreads: Number(options.workers), minThreads: 1 });
  const bad: string[] = [];
  const n = Number(options.n);
  for (const row of options.rows.split(",") as Row[]) {
    const results: TrialResult[] = [];
    const tasks = Array.from({ length: n }, (_, i) => ({ row, index: Number(options.from) + i, seed }));
    await Promise.all(tasks.map(async (task) => {
      results.push(await pool.run(task));
      if (process.stderr.isTTY) process.stderr.write(`\r${row} ${results.length}/${n} `);
    }));
    results.sort((a, b) => a.task.index - b.task.index);
    if (row === "refusal") reportRefusals(results, bad);
    else report(row, results, bad);
  }
  await pool.destroy();
  if (bad.length > 0) {
    const file = join(tmpdir(), "kerfmark-accuracy", "failures.txt");
    writeFileSync(file, `${bad.join("\n")}\n`);
    console.log(`\n${bad.join("\n")}\nkept in ${file}; look at one with --draw ROW:INDEX --seed ${seed}`);
  }
}

function report(row: Row, results: readonly TrialResult[], bad: string[]): void {
  const scored: Scored[] = [];
  let refused = 0;
  let wrong = 0;
  for (const result of results) {
    const { record, task, note } = result;
    const name = `${row}:${task.index} (${note}) ${result.file}`;
    if (record.status !== "measured") {
      refused++;
      bad.push(`${name}: ${record.status === "failed" ? record.error : `refused, ${record.refusal.code}: ${record.refusal.message}`}`);
      continue;
    }
    const s = score(result, record);
    scored.push(s);
    if (s.wrong.length > 0) {
      wrong++;
      bad.push(`${name}: WRONG ${s.wrong.join("; ")}`);
    }
    if (options.verbose) console.log(name, QUANTITIES.map((q) => `${q} ${s.errors[q].error.toFixed(4)} (U ${s.errors[q].U.toFixed(4)})`).join(", "), `${result.ms.toFixed(0)} ms`);
  }
  console.log(`\n${row}: ${results.length} pictures, ${scored.length} measured, refused ${((100 * refused) / results.length).toFixed(1)} %, wrong ${wrong}, check median ${quantile(results.map((r) => r.ms), 0.5).toFixed(0)} ms`);
  console.log("            p50      p95      max      within U");
  for (const q of QUANTITIES) {
    const errors = scored.map((s) => s.errors[q].error);
    const within = scored.filter((s) => s.errors[q].error <= s.errors[q].U).length;
    console.log(`  ${q.padEnd(9)} ${[0.5, 0.95, 1].map((p) => quantile(errors, p).toFixed(4)).join("   ")}   ${((100 * within) / scored.length).toFixed(1)} %  ${q === "offset" || q === "worst" ? "mm" : "mm/m"}`);
  }
}

function reportRefusals(results: readonly TrialResult[], bad: string[]): void {
  let right = 0;
  let measured = 0;
  for (const { record, task, note, refusal, file } of results) {
    if (record.status === "refused" && refusal?.includes(record.refusal.code)) right++;
    else {
      if (record.status === "measured") measured++;
      const got = record.status === "refused" ? record.refusal.code : record.status === "failed" ? record.error : `MEASURED, ${record.verdict}`;
      bad.push(`refusal:${task.index} (${note}) ${file}: ${got}, wanted ${refusal?.join(" or ")}`);
    }
  }
  console.log(`\nrefusal: ${results.length} pictures, refused with a fitting code ${right}, measured ${measured}`);
}
