import { createWriteStream } from "node:fs";
import { Readable } from "node:stream";
import { pipeline } from "node:stream/promises";
import { Option, type Command } from "commander";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import { DataFault, OutputFault, UsageFault } from "../exit.ts";
import { optional, wholeNumber } from "../numbers.ts";
import { onLibrary } from "./libraryFault.ts";

/** `kerfmark library`: keeps the shop's records whole. */
export function register(program: Command): void {
  const library = program.command("library").description("Looks after the shop's records: verify, backup, restore, export.")
    .addHelpText("after", "\nExit status: 0 done; 64 wrong usage; 65 the records (or the backup) are damaged; 66 no library or backup there; 73 cannot be written.");
  const verb = (name: string, description: string) =>
    library.command(name).description(description).addOption(new Option("--library <dir>", "the library's folder").default(defaultLibraryFolder(), "KERFMARK_LIBRARY, else the system's place for programs' data"));
  verb("verify", "Looks through all records without changing them.")
    .option("--pictures", "read every picture and compare it with its SHA-256 (slow)")
    .option("--json", "print one JSON object").action(verify);
  verb("backup", "Copies the records while they may be in use. Pictures are not in the copy.")
    .argument("[file]", "where to; else into the library's own backups").action(backup);
  verb("restore", "Puts a backup in the place of the records; what was there is kept among the backups.")
    .argument("<file>", "the backup").addHelpText("after", "\nClose other Kerfmark windows first: they stop recording when the records are replaced.").action(restore);
  verb("export", "Writes the records as JSON lines (everything) or CSV (the checks).")
    .addOption(new Option("--format <format>", "what to write").choices(["jsonl", "csv"]).default("jsonl"))
    .option("--run <number>", "only the checks of this run (CSV)").option("--out <file>", "where to; else standard output").action(exportRecords);
}

interface Where {
  readonly library: string;
}

async function verify({ library, pictures, json }: Where & { pictures?: boolean; json?: boolean }): Promise<void> {
  const { verifyLibrary } = await import("../../host/library/verify.ts");
  const found = await onLibrary(() => verifyLibrary(library, { hashes: pictures }));
  const { jobs, runs, checks, tray } = found.counts;
  if (json) process.stdout.write(`${JSON.stringify(found)}\n`);
  else process.stdout.write([...found.remarks, `${jobs} jobs, ${runs} runs, ${checks} checks; ${tray} pictures in the tray.`, ...(found.problems.length === 0 ? ["The records are whole."] : [])].join("\n") + "\n");
  if (found.problems.length > 0) throw new DataFault(`The records have ${found.problems.length === 1 ? "a fault" : `${found.problems.length} faults`}.`, 'Run "kerfmark library restore" with a backup.', found.problems.slice(0, 20));
}

async function backup(file: string | undefined, { library }: Where): Promise<void> {
  const { openLibrary } = await import("../../host/library/library.ts");
  await onLibrary(async () => {
    const opened = await openLibrary(library, { create: false });
    try {
      process.stdout.write(`Backed up to ${await opened.backup(file)}\n`);
    } finally {
      await opened.close();
    }
  });
}

async function restore(file: string, { library }: Where): Promise<void> {
  const { restoreLibrary } = await import("../../host/library/restore.ts");
  const former = await onLibrary(() => restoreLibrary(library, file));
  process.stdout.write(`Restored from ${file}\n${former ? `What was there before is in ${former}\n` : ""}`);
}

async function exportRecords({ library, format, run, out }: Where & { format: string; run?: string; out?: string }): Promise<void> {
  const number = optional(run, (text) => wholeNumber(text, "--run"));
  if (number !== undefined && format !== "csv") throw new UsageFault("One run is exported as CSV only.", "Give --format csv together with --run.");
  const { exportCsv, exportJsonLines } = await import("../../host/library/export.ts");
  const lines = format === "csv" ? exportCsv(library, number) : exportJsonLines(library);
  await onLibrary(async () => {
    const first = lines.next(); // A missing library is told before a file is made.
    const all = function* () {
      if (!first.done) yield first.value;
      yield* lines;
    };
    if (out === undefined) for (const line of all()) process.stdout.write(line);
    else await pipeline(Readable.from(all()), createWriteStream(out)).catch((error: NodeJS.ErrnoException) => {
      if (!error.path) throw error;
      throw new OutputFault(`The export cannot be written to ${out}: ${error.message}.`, "Choose another place, or free some space.");
    });
  });
}
