/** `npm run bench [NAME...]`: runs the benchmarks, one per file of tests/bench, one after the other; each prints its figures. */
import { readdirSync } from "node:fs";
import { root, run } from "./run.ts";

const wanted = process.argv.slice(2);
const files = readdirSync(`${root}/tests/bench`).filter((file) => file.endsWith(".ts")).sort();
for (const file of files.filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)))) {
  console.log(`\n== ${file.replace(".ts", "")}`);
  if ((await run(process.execPath, [`tests/bench/${file}`])) !== 0) process.exitCode = 1;
}
