import { readFile, rename, rm, writeFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { Option, type Command } from "commander";
import type { CheckRecord, Measured } from "../../../core/check/record.ts";
import { defaultLibraryFolder, deskFolder } from "../../host/library/place.ts";
import type { ReportFormat } from "../../host/report/formats.ts";
import type { ReportStyle, Subject } from "../../host/report/report.ts";
import { DataFault, MissingFault, OutputFault, UsageFault } from "../exit.ts";
import { wholeNumber } from "../numbers.ts";
import { onLibrary } from "./libraryFault.ts";

interface Options {
  readonly run?: string;
  readonly check?: string;
  readonly records?: string;
  readonly job?: string;
  readonly sheets?: string;
  readonly out?: string;
  readonly paper?: "A4" | "Letter";
  readonly language?: "en" | "de";
  readonly units?: "mm" | "inch";
  readonly decimal?: "point" | "comma";
  readonly csvSeparator?: "comma" | "semicolon" | "tab";
  readonly shop?: string;
  readonly logo?: string;
  readonly library: string;
}

/** `kerfmark report`: a report of a run or of one check, as PDF, HTML, CSV or JSON. */
export function register(program: Command): void {
  program
    .command("report")
    .description("Writes a report of a run or of one check: PDF, HTML (one file), CSV or JSON.")
    .option("--run <number>", "a run of the library")
    .option("--check <number>", "one check of the library")
    .option("--records <file>", "or records as kerfmark check --json prints them; needs --job")
    .option("--job <file>", "the job of --records")
    .option("--sheets <n>", "sheets in the stack, for --records: tells what to set aside")
    .option("--out <file>", "where to; its ending (.pdf .html .csv .json) says what is written")
    .addOption(new Option("--paper <size>", "paper of a PDF").choices(["A4", "Letter"]))
    .addOption(new Option("--language <language>", "language of PDF and HTML").choices(["en", "de"]))
    .addOption(new Option("--units <unit>", "unit of length in PDF, HTML and CSV").choices(["mm", "inch"]))
    .addOption(new Option("--decimal <sign>", "decimal sign").choices(["point", "comma"]))
    .addOption(new Option("--csv-separator <sign>", "what divides the columns of a CSV").choices(["comma", "semicolon", "tab"]))
    .option("--shop <name>", "the shop's name in the title block")
    .option("--logo <file>", "the shop's logo in the title block, PNG or JPEG")
    .addOption(new Option("--library <dir>", "the library's folder").default(defaultLibraryFolder(), "KERFMARK_LIBRARY, else the system's place for programs' data"))
    .addHelpText("after", "\nWhat is not said is as in the settings of the library's program; with --records, and where nothing was set: English, mm, A4, a point, commas.\nExit status: 0 written; 64 wrong usage; 65 bad data; 66 no such run, check or file; 73 cannot be written.")
    .action(report);
}

async function report(options: Options): Promise<void> {
  if (!options.out) throw new UsageFault("No file to write was named.", "Give --out REPORT.pdf (or .html, .csv, .json).");
  const [{ REPORT_FORMATS }, { makeReport }] = await Promise.all([import("../../host/report/formats.ts"), import("../../host/report/report.ts")]);
  const format = REPORT_FORMATS.find((f) => `.${f}` === extname(options.out ?? "").toLowerCase()) as ReportFormat | undefined;
  if (!format) throw new UsageFault(`The ending of ${options.out} says nothing about what to write.`, "End it with .pdf, .html, .csv or .json.");
  const subject = await subjectOf(options);
  await writeWhole(options.out, await makeReport(subject, format, await styleOf(options)));
  process.stdout.write(`${options.out}\n`);
}

/** As the options say, else as the shop has set it in its program. */
async function styleOf({ records, library, ...options }: Options): Promise<ReportStyle> {
  const [{ DEFAULTS }, { SettingsFile }, { Logo }, { styleBy }] = await Promise.all([
    import("../../host/app/choices.ts"), import("../../host/app/settings.ts"), import("../../host/app/logo.ts"), import("../../host/report/style.ts"),
  ]);
  const desk = records === undefined ? deskFolder(library) : null;
  const set = desk === null ? DEFAULTS : await new SettingsFile(join(desk, "settings.json")).read();
  const language = options.language ?? (set.language === "de" ? "de" : "en");
  const logo = options.logo !== undefined ? await logoOf(options.logo) : desk === null ? undefined : await new Logo(desk).read();
  return styleBy({
    units: options.units ?? set.units, decimal: options.decimal ?? set.decimal, csvSeparator: options.csvSeparator ?? set.csvSeparator,
    shopName: options.shop ?? set.shopName, paper: options.paper ? PAPERS[options.paper] : set.paper,
  }, language, logo);
}

const PAPERS = { A4: "a4", Letter: "letter" } as const;

async function subjectOf({ run, check, records, job, sheets, library: folder }: Options): Promise<Subject> {
  if ([run, check, records].filter((o) => o !== undefined).length !== 1) throw new UsageFault("What to report on is not clear.", "Give one of --run NUMBER, --check NUMBER and --records FILE.");
  if (records !== undefined) return fromRecords(records, job, sheets === undefined ? null : wholeNumber(sheets, "--sheets"));
  const [{ openLibrary }, { gatherRun, gatherSheet }] = await Promise.all([import("../../host/library/library.ts"), import("../../host/report/gather.ts")]);
  return onLibrary(async () => {
    const library = await openLibrary(folder, { create: false });
    try {
      if (run !== undefined) return { of: "run", ...(await gatherRun(library, wholeNumber(run, "--run"))) };
      return { of: "sheet", ...(await gatherSheet(library, wholeNumber(check as string, "--check"))) };
    } finally {
      await library.close();
    }
  });
}

/** A file of one record makes a report of that sheet, one of several a report of the run they are. */
async function fromRecords(file: string, jobFile: string | undefined, sheets: number | null): Promise<Subject> {
  if (jobFile === undefined) throw new UsageFault("No job was named.", "Give --job JOB.json together with --records.");
  const { loadJob } = await import("../check/inputs.ts");
  const { job } = await loadJob(jobFile);
  const text = await readFile(file, "utf8").catch(() => {
    throw new MissingFault(`There is no file ${file}.`, "Check the name and the folder.");
  });
  const records = text.split("\n").flatMap((line, i) => (line.trim() === "" ? [] : [recordOf(line, i + 1, file)]));
  if (records.length === 0) throw new DataFault(`${file} holds no records.`, "Make it with kerfmark check --json.");
  const other = records.find((r) => r.job !== job.id);
  if (other) throw new DataFault(`${file} holds a record of job "${other.job}", not of "${job.id}".`, "Name the job that the pictures were checked against.");
  if (records.length === 1) return { of: "sheet", record: records[0], job };
  const measured = records.filter((r): r is Measured => r.status === "measured");
  return { of: "run", name: file, job, sheets, records: measured, firstCut: measured, decisions: [] };
}

function recordOf(line: string, number: number, file: string): CheckRecord {
  try {
    const value = JSON.parse(line) as Partial<CheckRecord>;
    if (value.format === "kerfmark.check/1" && (value.status === "measured" || value.status === "refused")) return value as CheckRecord;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
  }
  throw new DataFault(`${file}, line ${number}: this is not a check record (kerfmark.check/1).`, "Make the file with kerfmark check --json.");
}

async function logoOf(file: string): Promise<Uint8Array> {
  const bytes = await readFile(file).catch(() => {
    throw new MissingFault(`There is no logo ${file}.`, "Check the name and the folder.");
  });
  if ((bytes[0] === 0x89 && bytes[1] === 0x50) || (bytes[0] === 0xff && bytes[1] === 0xd8)) return bytes;
  throw new DataFault(`The logo ${file} is neither PNG nor JPEG.`, "Save it as PNG.");
}

/** Written beside its place and moved there: a report is whole or not there. */
async function writeWhole(file: string, bytes: Uint8Array): Promise<void> {
  const draft = `${file}.${process.pid}.draft`;
  try {
    await writeFile(draft, bytes);
    await rename(draft, file);
  } catch (error) {
    await rm(draft, { force: true });
    throw new OutputFault(`${file} cannot be written (${(error as NodeJS.ErrnoException).code ?? String(error)}).`, "Check that the folder is there and that you may write to it.");
  }
}
