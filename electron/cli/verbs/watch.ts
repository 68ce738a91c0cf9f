import { readFileSync, statSync } from "node:fs";
import { availableParallelism } from "node:os";
import type { Command } from "commander";
import { readProfile } from "../../../core/camera/readProfile.ts";
import { readJob } from "../../../core/job/read.ts";
import type { Job } from "../../../core/job/schema.ts";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import type { Taken } from "../../host/watch/takeIn.ts";
import { DataFault, MissingFault, UsageFault } from "../exit.ts";
import { decimalNumber, optional, wholeNumber } from "../numbers.ts";
import { onLibrary } from "./libraryFault.ts";

interface Options {
  readonly job?: readonly string[];
  readonly camera?: string;
  readonly library: string;
  readonly firstSheet?: string;
  readonly step?: string;
  readonly settle: string;
  readonly workers?: string;
  readonly once?: boolean;
  readonly json?: boolean;
}

/** `kerfmark watch`: takes in the pictures that come into a folder. */
export function register(program: Command): void {
  program.command("watch").description("Measures every picture that comes into a folder and enters it in the library.")
    .argument("<dir>", "the folder; its files are only read")
    .option("--job <file...>", "job files that may be in the stack (default: all jobs of the library); sheets sort themselves into the runs of their jobs")
    .option("--camera <file>", "profile of the camera or scanner")
    .option("--library <dir>", "the library's folder (default: KERFMARK_LIBRARY, else the system's place for programs' data)", defaultLibraryFolder())
    .option("--first-sheet <n>", "number of the first sheet, where sheets carry no number; the next ones count on in order of arrival")
    .option("--step <n>", "count on by this many: every 10th sheet is photographed", "1")
    .option("--settle <seconds>", "a file has stopped growing after this time", "2")
    .option("--workers <n>", "pictures measured at once (default: the number of cores)")
    .option("--once", "take in what lies in the folder, then stop")
    .option("--json", "print one JSON object per picture")
    .addHelpText("after", `
What cannot be measured is kept in the tray with its reason. A picture that is known by its content is not taken in again, so the
command may be stopped (Ctrl-C) and started again at any time.

Two idle cores keep up with about 4 pictures of 12 MP a second of one job, with about 2.5 where sheets without codes have to be sorted among three jobs. What comes faster,
or fits none of the jobs (which takes some seconds to find out), waits its turn; nothing is lost by it.

Exit status: 0 stopped; 1 (--once) some out or unsure; 2 (--once) some in the tray; 64 wrong usage; 65 bad job or data file; 66 no such input.`)
    .action(run);
}

async function run(dir: string, options: Options): Promise<void> {
  if (!statSync(dir, { throwIfNoEntry: false })?.isDirectory()) throw new MissingFault(`There is no folder ${dir}.`, "Name the folder that the pictures come into.");
  const numbering = options.firstSheet === undefined ? undefined : { first: wholeNumber(options.firstSheet, "--first-sheet"), step: wholeNumber(options.step ?? "1", "--step") };
  const settle = 1000 * decimalNumber(options.settle, "--settle", 0, 3600);
  const workers = optional(options.workers, (n) => wholeNumber(n, "--workers", 1, 999)) ?? availableParallelism();
  const files = (options.job ?? []).map(readJobFile);
  const profile = options.camera === undefined ? undefined : profileOf(options.camera);
  const [{ openLibrary }, { MeasurePool }, { HotFolder }, { jobsInStack }] = await Promise.all([
    import("../../host/library/library.ts"), import("../../host/measure/pool.ts"), import("../../host/watch/hotFolder.ts"), import("../../host/watch/jobsInStack.ts"),
  ]);
  await onLibrary(async () => {
    const library = await openLibrary(options.library);
    const pool = new MeasurePool({ workers });
    try {
      const given = await Promise.all(files.map((job) => library.jobs.put(job)));
      const jobs = async () => (given.length > 0 ? given : jobsInStack(library));
      if ((await jobs()).length === 0) throw new UsageFault("No job was named, and the library has none.", "Give --job JOB.json.");
      let status = 0;
      const folder = new HotFolder(dir, {
        library, measuring: pool, jobs, profile, numbering, settle, workers,
        onTaken: (taken) => {
          status = Math.max(status, statusOf(taken));
          process.stdout.write(options.json ? `${JSON.stringify(taken)}\n` : told(taken));
        },
        onTrouble: (message, hint) => process.stderr.write(`${message}\n${hint}\n`),
      });
      process.stderr.write(`Watching ${dir}${options.once ? "" : "; stop with Ctrl-C"}.\n`);
      await (options.once ? folder.idle() : interrupted());
      await folder.close();
      if (options.once) process.exitCode = status;
    } finally {
      await pool.close();
      await library.close();
    }
  });
}

/** Resolves at Ctrl-C or a polite end of the process. */
function interrupted(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM"] as const) process.once(signal, () => resolve());
  });
}

function statusOf(taken: Taken): 0 | 1 | 2 {
  if (taken.kind === "tray") return 2;
  return taken.kind === "check" && taken.record.verdict !== "in" ? 1 : 0;
}

function told(taken: Taken): string {
  switch (taken.kind) {
    case "check": {
      const { worst, verdict, sheet, job } = taken.record;
      return `${taken.file}: ${job}${sheet ? ` sheet ${sheet}` : ""}, run ${taken.runId}: ${verdict}, worst ${worst.value.toFixed(2)} mm (U ${worst.U.toFixed(2)})\n`;
    }
    case "tray":
      return `${taken.file}: in the tray. ${taken.reason.message} ${taken.reason.hint}\n`;
    case "known":
      return `${taken.file}: taken in already\n`;
    default:
      return `${taken.file}: ${taken.kind} while it was being measured\n`;
  }
}

function readText(file: string, what: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch {
    throw new MissingFault(`The ${what} cannot be read: ${file}.`, "Check the path.");
  }
}

function readJobFile(file: string): Job {
  const read = readJob(readText(file, "job file"));
  if (!read.ok) throw new DataFault(`The job file has faults: ${file}.`, "Correct them, then start again.", read.errors.map((e) => e.message));
  return read.job;
}

function profileOf(file: string) {
  const read = readProfile(readText(file, "camera profile"));
  if (!read.ok) throw new DataFault(`The camera profile has faults: ${file}.`, "Make it again with kerfmark calibrate.", read.errors);
  return read.profile;
}
