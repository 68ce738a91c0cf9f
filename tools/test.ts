/**
 * `npm test`: lint, types, unit tests and browser tests, all of them whatever fails on the way. The last line sums up:
 * `N passed, N failed` (`, N skipped`). Lint and each TypeScript project count as one test each.
 */
import { existsSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import path from "node:path";
import { findChromium } from "./chromium.ts";
import { PROJECTS, lint, types } from "./checks.ts";
import { root, runBin } from "./run.ts";

interface Tally {
  readonly passed: number;
  readonly failed: number;
  readonly skipped: number;
}

const results = path.join(root, ".cache/test-results");
rmSync(results, { recursive: true, force: true });
mkdirSync(results, { recursive: true });

const tallies: Tally[] = [one("lint", await lint())];
for (const project of PROJECTS) tallies.push(one(`types of ${project}`, await types(project)));
tallies.push(await unitTests(), await browserTests());

const sum = (key: keyof Tally): number => tallies.reduce((total, tally) => total + tally[key], 0);
if (sum("failed") > 0) process.exitCode = 1;
console.log(`${sum("passed")} passed, ${sum("failed")} failed${sum("skipped") > 0 ? `, ${sum("skipped")} skipped` : ""}`);

function one(name: string, status: number): Tally {
  console.log(status === 0 ? `${name}: fine` : `${name}: FAILED`);
  return { passed: status === 0 ? 1 : 0, failed: status === 0 ? 0 : 1, skipped: 0 };
}

async function unitTests(): Promise<Tally> {
  const file = path.join(results, "vitest.json");
  const status = await runBin("vitest", "vitest", ["run", "--reporter=default", "--reporter=json", `--outputFile.json=${file}`]);
  return read(file, status, (report: { numPassedTests: number; numFailedTests: number; numPendingTests: number; numTodoTests: number }) => ({
    passed: report.numPassedTests,
    failed: report.numFailedTests,
    skipped: report.numPendingTests + report.numTodoTests,
  }));
}

async function browserTests(): Promise<Tally> {
  if (findChromium() === undefined) {
    const mustRun = process.env.CI !== undefined;
    console.log(`browser tests: ${mustRun ? "FAILED" : "skipped"}, no Chromium or Chrome on this machine (Debian: apt-get install chromium)`);
    return { passed: 0, failed: mustRun ? 1 : 0, skipped: mustRun ? 0 : 1 };
  }
  const file = path.join(results, "playwright.json");
  const status = await runBin("@playwright/test", "playwright", ["test"], { PLAYWRIGHT_JSON_OUTPUT_NAME: file });
  return read(file, status, (report: { stats: { expected: number; unexpected: number; flaky: number; skipped: number } }) => ({
    passed: report.stats.expected,
    failed: report.stats.unexpected + report.stats.flaky,
    skipped: report.stats.skipped,
  }));
}

/** What a runner reports; a runner that fails without naming a failed test (a file that does not load) counts as one. */
function read<Report>(file: string, status: number, tally: (report: Report) => Tally): Tally {
  const counted = existsSync(file) ? tally(JSON.parse(readFileSync(file, "utf8")) as Report) : { passed: 0, failed: 0, skipped: 0 };
  return status !== 0 && counted.failed === 0 ? { ...counted, failed: 1 } : counted;
}
