/** `npm run fuzz [RUNS]`: the property-based tests with other seeds and RUNS times as many cases (default 20). */
import { runBin } from "./run.ts";

process.exitCode = await runBin("vitest", "vitest", ["run"], { KERFMARK_FUZZ: process.argv[2] ?? "20" });
