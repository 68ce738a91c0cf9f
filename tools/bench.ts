/** `npm run bench [NAME...]`: runs the benchmarks of tests/bench one after the other; each prints its figures. */
import { readdirSync } from "node:fs";
import { root, run } from "./run.ts";

const wanted = process.argv.slice(2);
const files = readdirSync(`${root}/tests/bench`, { recursive: true, encoding: "utf8" }).filter((file) => file.endsWith(".bench.ts")).sort();
for (const file of files.filter((name) => wanted.length === 0 || wanted.some((part) => name.includes(part)))) {
  console.log(`\n== ${file.replace(".bench.ts", "")}`);
  if ((await run(process.execPath, [`tests/bench/${file}`])) !== 0) process.exitCode = 1;
}
