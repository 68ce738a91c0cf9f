import { availableParallelism } from "node:os";
import type { Command } from "commander";
import type { Profile } from "../../../core/camera/profile.ts";
import type { CheckRecord } from "../../../core/check/record.ts";
import type { Job } from "../../../core/job/schema.ts";
import { statusOfChecks, UsageFault } from "../exit.ts";
import { optional, wholeNumber } from "../numbers.ts";

interface Options {
  readonly job?: string;
  readonly camera?: string;
  readonly json?: boolean;
  readonly workers?: string;
}

/** `kerfmark check`: measures pictures of sheets against their job and judges them. */
export function register(program: Command): void {
  program
    .command("check")
    .description("Measures pictures of finished sheets against their job and judges them.")
    .argument("[image...]", "pictures, folders of pictures, or patterns such as \"scans/*.tif\"")
    .option("--job <file>", "the job file (*.job.json)")
    .option("--camera <file>", "profile of the camera or scanner, made by kerfmark calibrate")
    .option("--json", "print one JSON object per picture and line (kerfmark.check/1), nothing else")
    .option("--workers <n>", "pictures measured at once (default: as many as there are cores)")
    .addHelpText("after", `
Exit status: 0 all in; 1 some out or unsure; 2 some refused; 64 wrong usage; 65 bad job or profile file; 66 no such file.

Kerfmark advises only. Before reaching to a cutting table, lock it out as its manual and your local rules say.`)
    .action(check);
}

async function check(images: string[], options: Options): Promise<void> {
  if (options.job === undefined) throw new UsageFault("No job was named.", "Give --job JOB.json.");
  if (images.length === 0) throw new UsageFault("No picture was named.", "Name one or more pictures or a folder after the options.");
  const workers = optional(options.workers, (n) => wholeNumber(n, "--workers", 1, 999)) ?? availableParallelism();
  const [{ picturesOf }, { MeasurePool }] = await Promise.all([import("../check/pictures.ts"), import("../../host/measure/pool.ts")]);
  const pictures = await picturesOf(images);
  // The first worker starts while the job is read: both take a while to load.
  const pool = new MeasurePool({ workers: Math.min(workers, pictures.length) });
  const { job, profile } = await inputsOf(options.job, options.camera).catch(async (fault: unknown) => {
    await pool.close();
    throw fault;
  });

  const stop = new AbortController();
  const onStop = () => stop.abort();
  process.once("SIGINT", onStop).once("SIGTERM", onStop);
  const bar = process.stderr.isTTY && pictures.length > 1 ? await progressBar(pictures.length) : undefined;
  const records: CheckRecord[] = [];
  const table: string[] = [];
  const { describeCounts, describeRecord } = await import("../check/words.ts");
  try {
    const requests = pictures.map(({ path, name }) => ({ image: path, name, job, profile, signal: stop.signal }));
    for await (const { record } of pool.checkAll(requests, (done) => bar?.update(done))) {
      records.push(record);
      // On one terminal the bar and the table would overwrite each other: the table waits for the bar.
      if (options.json) process.stdout.write(`${JSON.stringify(record)}\n`);
      else if (bar) table.push(describeRecord(record, job));
      else process.stdout.write(describeRecord(record, job));
    }
  } finally {
    bar?.stop();
    process.off("SIGINT", onStop).off("SIGTERM", onStop);
    await pool.close();
  }
  process.stdout.write(table.join(""));
  if (!options.json && records.length > 1) process.stdout.write(`${describeCounts(records)}\n`);
  process.exitCode = statusOfChecks(records);
}

async function inputsOf(jobFile: string, profileFile: string | undefined): Promise<{ job: Job; profile: Profile | undefined }> {
  const { loadJob, loadProfile } = await import("../check/inputs.ts");
  const { job, warnings } = await loadJob(jobFile);
  const profile = profileFile === undefined ? undefined : await loadProfile(profileFile);
  for (const warning of warnings) process.stderr.write(`Note on the job: ${warning}\n`);
  return { job, profile };
}

/** On standard error, so that standard output stays clean for whoever reads it. */
async function progressBar(total: number): Promise<{ update(done: number): void; stop(): void }> {
  const { default: progress } = await import("cli-progress");
  const bar = new progress.SingleBar({ format: "{bar} {value} of {total} pictures, {eta_formatted} left", stream: process.stderr, clearOnComplete: true, hideCursor: true });
  bar.start(total, 0);
  return bar;
}
