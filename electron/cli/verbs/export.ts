import { extname } from "node:path";
import type { Command } from "commander";
import type { Exported, ExportOptions } from "../../../core/job/export/overlay.ts";
import type { OverlayPart } from "../../../core/job/layerNames.ts";
import type { Job } from "../../../core/job/schema.ts";
import { DataFault, OutputFault, UsageFault } from "../exit.ts";

interface Options {
  readonly job?: string;
  readonly out?: string;
  readonly parts?: string;
  readonly sheet?: string;
  readonly sheets?: string;
  readonly digits?: string;
  readonly marks?: boolean;
}

/** `kerfmark export`: draws a job's marks, codes, cuts and creases as an overlay for print and cut files. */
export function register(program: Command): void {
  program
    .command("export")
    .description("Draws a job as an overlay to place into print and cut files: PDF, SVG or DXF, true size.")
    .option("--job <file>", "the job file (*.job.json)")
    .option("--out <file>", "file to write; its ending says the format: .pdf, .svg, .dxf")
    .option("--parts <list>", "what to draw, of marks,codes,cuts,creases", "marks,codes,cuts,creases")
    .option("--sheet <number>", "number of the sheet, for codes that hold it")
    .option("--sheets <range>", "a PDF of numbered pages with the codes alone, as 1..400 (at most 10,000)")
    .option("--digits <n>", "digits of the numbers, with zeros in front", "0")
    .option("--marks", "with --sheets: draw the marks on every page too")
    .addHelpText("after", `
In the PDF the marks and codes are black on layers of their own; cuts and creases are overprinting spot colours, marked as processing steps (ISO 19593-1).
Place it at 100 % on the sheet's lower-left corner. Do not print the layers Cut and Crease.

Exit status: 0 when the file was written; 64 wrong usage; 65 a job that has not what was asked for; 66 no such file.`)
    .action(run);
}

async function run(options: Options): Promise<void> {
  if (options.job === undefined) throw new UsageFault("No job was named.", "Give --job JOB.json.");
  if (options.out === undefined) throw new UsageFault("No file to write was named.", "Give --out FILE with the ending .pdf, .svg or .dxf.");
  const kind = extname(options.out).toLowerCase();
  const parts = partsOf(options.parts ?? "");
  const range = options.sheets === undefined ? null : rangeOf(options.sheets);
  if (range && kind !== ".pdf") throw new UsageFault("Numbered pages need the ending .pdf.", "Name a PDF file with --out.");
  const { loadJob } = await import("../check/inputs.ts");
  const { job } = await loadJob(options.job);
  const made = range ? await numbered(job, range, options) : await drawn(job, kind, { parts, sheet: options.sheet });
  if (!made.ok) throw new DataFault(`${options.job}: ${made.reason}`, made.hint);
  const { writeFile } = await import("node:fs/promises");
  try {
    await writeFile(options.out, made.file);
  } catch (error) {
    throw new OutputFault(`The overlay cannot be written to ${options.out}: ${error instanceof Error ? error.message : "unknown"}.`, "Choose another place with --out.");
  }
  for (const note of made.notes) process.stderr.write(`${note}\n`);
  const what = range ? `${range.count} numbered ${range.count === 1 ? "page" : "pages"}` : parts.join(", ");
  process.stdout.write(`${options.out}: ${what} of ${job.id} on ${job.sheet.width} x ${job.sheet.height} mm.\n`);
}

async function drawn(job: Job, kind: string, options: ExportOptions): Promise<Exported<Uint8Array | string>> {
  if (kind === ".pdf") return (await import("../../../core/job/export/pdf.ts")).exportPdf(job, options);
  if (kind === ".svg") return (await import("../../../core/job/export/svg.ts")).exportSvg(job, options);
  if (kind === ".dxf") return (await import("../../../core/job/export/dxf.ts")).exportDxf(job, options);
  throw new UsageFault(`"${kind}" is not the ending of an overlay.`, "Name a .pdf, .svg or .dxf file with --out.");
}

async function numbered(job: Job, range: { from: number; count: number }, options: Options): Promise<Exported<Uint8Array>> {
  const digits = Number(options.digits);
  const { exportNumbered } = await import("../../../core/job/export/numbered.ts");
  return exportNumbered(job, { ...range, digits, marks: options.marks });
}

function partsOf(text: string): OverlayPart[] {
  const known: readonly OverlayPart[] = ["marks", "codes", "cuts", "creases"];
  return text.split(",").map((t) => {
    const part = known.find((k) => k === t.trim());
    if (part === undefined) throw new UsageFault(`"${t}" after --parts is not a part of a job.`, `Give some of ${known.join(",")}.`);
    return part;
  });
}

function rangeOf(text: string): { from: number; count: number } {
  const match = /^(\d{1,9})\.\.(\d{1,9})$/.exec(text.trim());
  const [from, to] = match ? [Number(match[1]), Number(match[2])] : [1, 0];
  if (to < from) throw new UsageFault(`"${text}" after --sheets is not a range of numbers.`, "Give the first and the last, as 1..400.");
  return { from, count: to - from + 1 };
}
