import { writeFile } from "node:fs/promises";
import { basename, extname } from "node:path";
import type { Command } from "commander";
import type { Drawing, Meaning } from "../../../core/job/import/drawing.ts";
import type { Preset } from "../../../core/job/import/meaning.ts";
import { DataFault, MissingFault, OutputFault, UsageFault } from "../exit.ts";
import { decimalNumber } from "../numbers.ts";
import { bytesOf, drawingOf } from "../drawing.ts";

interface Options {
  readonly out?: string;
  readonly id?: string;
  readonly name?: string;
  readonly unit?: string;
  readonly sheet?: string;
  readonly page?: string;
  readonly box?: string;
  readonly cut: string[];
  readonly crease: string[];
  readonly mark: string[];
  readonly ignore: string[];
  readonly preset?: string;
  readonly cutFrom?: string;
  readonly state?: string;
  readonly position: string;
  readonly join: string;
  readonly piece?: string;
  readonly list?: boolean;
}

/** `kerfmark import`: makes a job from an SVG, DXF or PDF drawing. */
export function register(program: Command): void {
  const several = (value: string, all: string[]) => [...all, value];
  program
    .command("import")
    .description("Makes a job from a drawing: SVG, ASCII DXF or PDF.")
    .argument("<file>", "the drawing")
    .option("--out <job>", "job file to write, as TRAY-7.job.json")
    .option("--list", "only list the layers, colours and steps of the drawing with what each is taken for")
    .option("--cut <name>", "layer, colour or step that holds cuts (repeat for more)", several, [])
    .option("--crease <name>", "layer, colour or step that holds creases (repeat for more)", several, [])
    .option("--mark <name>", "layer, colour or step that holds marks (repeat for more)", several, [])
    .option("--ignore <name>", "layer, colour or step that holds none of these (repeat for more)", several, [])
    .option("--preset <file>", "JSON file with the meanings of the shop's usual names: { \"name\": …, \"meanings\": { \"Die\": \"cut\" } }")
    .option("--unit <unit>", "unit of a DXF drawing that does not state one: mm, cm, m, inch")
    .option("--sheet <size>", "sheet in mm as WIDTHxHEIGHT, where it is not the drawing's page")
    .option("--page <n>", "page of a PDF", "1")
    .option("--box <box>", "box of a PDF page that is the sheet: media, crop, bleed, trim", "media")
    .option("--id <id>", "id of the job (default: the file's name)")
    .option("--name <name>", "name of the job for people")
    .option("--cut-from <side>", "side the blade enters: print, reverse", "print")
    .option("--state <state>", "what is measured: in-sheet, stripped", "in-sheet")
    .option("--position <mm>", "tolerance of position, mm", "0.5")
    .option("--join <mm>", "ends of lines nearer than this are joined, mm", "0.02")
    .option("--piece <word>", "what one copy is called in the names of cuts", "piece")
    .addHelpText("after", `
A name means the exact name that --list shows. Nothing that a drawing refers to is fetched, and nothing in it is run.

Exit status: 0 when the job was written; 64 wrong usage; 65 a drawing that cannot be read or has no cuts; 66 no such file.`)
    .action(run);
}

async function run(file: string, options: Options): Promise<void> {
  if (!options.list && options.out === undefined) throw new UsageFault("No file for the job was named.", "Give --out JOB.json.");
  const [{ draftJob }, { proposeMeanings }, { readJob }] = await Promise.all([
    import("../../../core/job/import/toJob.ts"), import("../../../core/job/import/meaning.ts"), import("../../../core/job/read.ts"),
  ]);
  const sheet = options.sheet === undefined ? undefined : sheetSize(options.sheet);
  const [position, join] = [decimalNumber(options.position, "--position", 0), decimalNumber(options.join, "--join", 0)];
  const drawing = await readWith(file, options);
  const meanings = named(drawing, proposeMeanings(drawing, await presetOf(options.preset)), options);
  if (options.list) return void process.stdout.write(listing(drawing, meanings));
  const id = (options.id ?? basename(file, extname(file))).slice(0, 64);
  const draft = draftJob(drawing, meanings, {
    id, name: options.name, sheet, position, join, piece: options.piece,
    cutFrom: oneOf(options.cutFrom, ["print", "reverse"], "--cut-from"), state: oneOf(options.state, ["in-sheet", "stripped"], "--state"),
  });
  if (draft === null) throw new DataFault(`${file}: no layer, colour or step of the drawing is taken for cuts.`, "Name one with --cut; --list shows them.", listing(drawing, meanings).trimEnd().split("\n"));
  const read = readJob(draft.job);
  // A job without enough marks is written all the same: marks are added in the editor.
  const faults = read.ok ? [] : read.errors.filter((e) => e.path !== "marks");
  if (faults.length > 0) throw new DataFault(`${file}: the drawing does not make a valid job.`, "Correct the drawing, or name its layers with --cut, --crease and --mark.", faults.map((f) => f.message));
  try {
    await writeFile(options.out ?? "", `${JSON.stringify(draft.job, null, 2)}\n`);
  } catch (error) {
    throw new OutputFault(`The job cannot be written to ${options.out}: ${error instanceof Error ? error.message : "unknown"}.`, "Choose another place with --out.");
  }
  for (const note of [...draft.notes, ...(read.ok ? read.warnings : [])]) process.stderr.write(`${note}\n`);
  const counted = (n: number, what: string) => `${n} ${what}${n === 1 ? "" : "s"}`;
  const kinds = (["cut", "crease"] as const).map((kind) => counted(draft.job.cuts.filter((c) => c.kind === kind).length, kind));
  process.stdout.write(`${options.out}: ${kinds.join(", ")}, ${counted(draft.job.marks.length, "mark")} on ${draft.job.sheet.width} x ${draft.job.sheet.height} mm.\n`);
}

async function readWith(file: string, options: Options): Promise<Drawing> {
  const { UNITS, BOXES } = await import("../../../core/job/import/read.ts");
  const units: Readonly<Record<string, number>> = { ...UNITS, in: UNITS.inch };
  const unit = options.unit === undefined ? undefined : units[options.unit];
  if (options.unit !== undefined && unit === undefined) throw new UsageFault(`"${options.unit}" is not a unit.`, `Give one of ${Object.keys(UNITS).join(", ")}.`);
  return drawingOf(file, { unit, page: Number(options.page), box: oneOf(options.box, BOXES, "--box") });
}

async function presetOf(file: string | undefined): Promise<Preset | undefined> {
  if (file === undefined) return undefined;
  const { presetSchema } = await import("../../../core/job/import/meaning.ts");
  try {
    return presetSchema.parse(JSON.parse(Buffer.from(await bytesOf(file)).toString("utf8")));
  } catch (error) {
    if (error instanceof MissingFault) throw error;
    throw new DataFault(`${file} is not a preset.`, 'It should read { "name": "…", "meanings": { "layer": "cut" } } with cut, crease, mark or nothing.');
  }
}

/** The proposed meanings, with what the options say of a group put in their place. */
function named(drawing: Drawing, proposed: readonly Meaning[], options: Options): Meaning[] {
  const said = new Map<string, Meaning>();
  const told: Array<[Meaning, string[]]> = [["cut", options.cut], ["crease", options.crease], ["mark", options.mark], ["nothing", options.ignore]];
  for (const [meaning, names] of told) {
    for (const name of names) {
      if (!drawing.groups.some((g) => g.name === name)) throw new DataFault(`The drawing has no layer, colour or step ${JSON.stringify(name)}.`, `It has ${drawing.groups.slice(0, 20).map((g) => JSON.stringify(g.name)).join(", ")}.`);
      said.set(name, meaning);
    }
  }
  return drawing.groups.map((g, i) => said.get(g.name) ?? proposed[i]);
}

function listing(drawing: Drawing, meanings: readonly Meaning[]): string {
  const counts = drawing.groups.map(() => 0);
  for (const o of drawing.outlines) counts[o.group]++;
  return drawing.groups.map((g, i) => `${meanings[i].padEnd(8)} ${g.kind.padEnd(7)} ${JSON.stringify(g.name)}: ${counts[i]} lines\n`).join("");
}

function sheetSize(text: string): { width: number; height: number } {
  const match = /^(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)$/i.exec(text.trim());
  const [width, height] = match ? [Number(match[1]), Number(match[2])] : [0, 0];
  if (!(width > 0 && height > 0)) throw new UsageFault(`"${text}" is not the size of a sheet.`, "Give --sheet as WIDTHxHEIGHT in mm, as 1000x700.");
  return { width, height };
}

function oneOf<const T extends string>(text: string | undefined, values: readonly T[], option: string): T {
  const found = values.find((v) => v === text);
  if (found === undefined) throw new UsageFault(`"${text}" after ${option} is not one of ${values.join(", ")}.`, `Give ${values.join(" or ")}.`);
  return found;
}
