/** `npm run fuzz [TIMES]`: 10,000 damaged drawings of each format, then the property-based tests with other seeds and TIMES (20) as many cases. */
import { root, run, runBin } from "./run.ts";

const drawings = await run(process.execPath, [`${root}/tests/fuzz/drawings.ts`]);
const properties = await runBin("vitest", "vitest", ["run"], { KERFMARK_FUZZ: process.argv[2] ?? "20" });
process.exitCode = drawings || properties;
