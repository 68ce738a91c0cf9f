import { Option, type Command } from "commander";
import type { Encoding, Row } from "../../../core/sample/scenarios.ts";
import type { RunWish } from "../../../core/sample/run.ts";
import type { Scene } from "../../../core/sample/scene.ts";
import type { Truth } from "../../../core/sample/truth.ts";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import { OutputFault, UsageFault } from "../exit.ts";
import { decimalNumber, wholeNumber } from "../numbers.ts";

interface Options {
  readonly out?: string;
  readonly demo?: boolean;
  readonly row?: string;
  readonly n: string;
  readonly seed: string;
  readonly run?: string | true;
  readonly library: string;
  readonly every: string;
  readonly drift: string;
  readonly scatter: string;
  readonly quality: string;
}

/** `kerfmark sample`: draws jobs, pictures and runs whose truth is known. */
export function register(program: Command): void {
  program
    .command("sample")
    .description("Draws sample sheets, pictures and runs with known truth.")
    .option("--out <dir>", "folder to write into; made where it is not there")
    .option("--row <row>", "kind of pictures: scan, photo, lens, clutter, hard or refusal; each with its own job", "photo")
    .option("--n <count>", "number of pictures of that kind", "1")
    .option("--run [sheets]", "instead: a run of this many sheets of one job, whose cut drifts; without a number: enters the demo's night run in the library")
    .addOption(new Option("--library <dir>", "with --run alone: the library's folder").default(defaultLibraryFolder(), "KERFMARK_LIBRARY, else the system's place for programs' data"))
    .option("--every <k>", "photograph every k-th sheet of the run", "10")
    .option("--drift <x,y,rotation>", "drift in 100 sheets: mm, mm and mm/m", "0.3,-0.1,0.2")
    .option("--scatter <mm>", "scatter from sheet to sheet", "0.03")
    .option("--quality <percent>", "JPEG quality of a run's pictures", "88")
    .option("--demo", "instead: the demo job with a few pictures (some in, one drifted out, one refused), its run, and the night run of 400 checks")
    .option("--seed <number>", "the same seed draws the same pictures", "1")
    .addHelpText("after", `
Each picture NAME.jpg (or .tif, .png) comes with NAME.job.json and NAME.truth.json; a run has one job.json and truth.csv, one row for each sheet.
Signs, frames and units of the truth are those of the check record.

Exit status: 0 when all was written; 64 wrong usage; 73 the folder cannot be written.`)
    .action(run);
}

async function run(options: Options): Promise<void> {
  if (options.run === true) return enterNightRun(options.library);
  if (!options.out) throw new UsageFault("No folder to write into was named.", "Give --out DIR.");
  const seed = wholeNumber(options.seed, "--seed", 0, 2 ** 31);
  const { mkdir } = await import("node:fs/promises");
  await written(options.out, () => mkdir(options.out!, { recursive: true }));
  if (options.demo) return demo(options.out, seed);
  if (options.run !== undefined) {
    const [x, y, rotation] = numbers("--drift", options.drift, 3);
    const wish = { sheets: wholeNumber(options.run, "--run", 1), drift: { x, y, rotation }, scatter: numbers("--scatter", options.scatter, 1)[0], seed };
    const every = wholeNumber(options.every, "--every", 1);
    const shots = Array.from({ length: Math.ceil(wish.sheets / every) }, (_, i) => 1 + i * every);
    return drawRun(options.out, wish, shots, wholeNumber(options.quality, "--quality", 1, 100));
  }
  return drawRow(options.out, options.row ?? "photo", wholeNumber(options.n, "--n", 1), seed);
}

/** Enters the demo's night run in the library; a second time it says where it is. */
async function enterNightRun(folder: string): Promise<void> {
  const [{ openLibrary }, { loadDemo }, { programFolder }, { join }, { onLibrary }] = await Promise.all([
    import("../../host/library/library.ts"), import("../../host/runs/demo/loadDemo.ts"), import("../../host/programFolder.ts"), import("node:path"), import("./libraryFault.ts"),
  ]);
  await onLibrary(async () => {
    const library = await openLibrary(folder);
    try {
      const { loaded, runs } = await loadDemo(library, join(programFolder(), "samples"));
      const lines = runs.map((r) => `run ${r.id}: ${r.name}, ${r.checks} checks`);
      process.stdout.write(`${loaded ? "The demo's night run is in the library" : "The demo's night run was in the library already"}: ${folder}\n${lines.join("\n")}\n`);
    } finally {
      await library.close();
    }
  });
}

/** Pictures of one of the benchmark's rows, each with its own job. */
async function drawRow(out: string, row: string, count: number, seed: number): Promise<void> {
  const { ROWS, trialOf } = await import("../../../core/sample/scenarios.ts");
  if (!(ROWS as readonly string[]).includes(row)) throw new UsageFault(`"${row}" is no kind of picture.`, `Give one of ${ROWS.join(", ")} after --row.`);
  const { truthOf } = await import("../../../core/sample/truth.ts");
  for (let i = 0; i < count; i++) {
    const trial = trialOf(row as Row, i, seed);
    const name = `${row}-${String(i + 1).padStart(3, "0")}`;
    await write(out, `${name}.job.json`, json(trial.job));
    await write(out, `${name}.truth.json`, json({ ...truthOf(trial.scene), refusal: trial.refusal, note: trial.note }));
    await writePicture(out, name, trial.scene, trial.encoding);
  }
}

async function drawRun(out: string, wish: RunWish, shots: readonly number[], quality: number): Promise<void> {
  const [{ sheetOfRun }, { truthOf }] = await Promise.all([import("../../../core/sample/run.ts"), import("../../../core/sample/truth.ts")]);
  const truths = Array.from({ length: wish.sheets }, (_, i) => truthOf(sheetOfRun(wish, i + 1)));
  const { job } = sheetOfRun(wish, 1);
  await write(out, `${job.id}.job.json`, json(job));
  await write(out, "truth.csv", table(truths));
  for (const sheet of shots) {
    const name = `sheet-${String(sheet).padStart(3, "0")}`;
    await write(out, `${name}.truth.json`, json(truths[sheet - 1]));
    await writePicture(out, name, sheetOfRun(wish, sheet), { format: "jpeg", quality });
  }
}

/** The demo: sheets 1, 41 and 81 in, 161 drifted out, and sheet 121 photographed with a shaking hand (refused). */
async function demo(out: string, seed: number): Promise<void> {
  const wish: RunWish = { sheets: 180, drift: { x: 0.34, y: -0.12, rotation: 0.15 }, scatter: 0.03, seed };
  await drawRun(out, wish, [1, 41, 81, 161], 84);
  const [{ sheetOfRun }, { demoRunFiles }, { DEMO_FOLDER }, { mkdir }, { join }] = await Promise.all([
    import("../../../core/sample/run.ts"), import("../../host/runs/demo/makeDemo.ts"), import("../../host/runs/demo/files.ts"), import("node:fs/promises"), import("node:path"),
  ]);
  await written(out, () => mkdir(join(out, DEMO_FOLDER), { recursive: true }));
  for (const [name, text] of demoRunFiles(seed)) await write(out, join(DEMO_FOLDER, name), text);
  const shaken = sheetOfRun(wish, 121);
  await writePicture(out, "sheet-121-blurred", { ...shaken, sensor: { ...shaken.sensor, blur: { x: 16, y: 12 } } }, { format: "jpeg", quality: 80 });
}

/** The true values of a run; `verdict` goes by all limits of the job. */
function table(truths: readonly Truth[]): string {
  const rows = truths.map((t) => [
    t.sheet, ...[t.offset.x, t.offset.y, t.rotation, t.skew, t.scale.x, t.scale.y, t.worst.value].map((v) => v.toFixed(6)), t.verdict,
  ].join(","));
  return `sheet,offset_x,offset_y,rotation,skew,scale_x,scale_y,worst,verdict\n${rows.join("\n")}\n`;
}

async function writePicture(out: string, name: string, scene: Scene, encoding: Encoding): Promise<void> {
  const [{ drawPicture }, { encodePicture, endingOf }] = await Promise.all([import("../../../core/sample/draw.ts"), import("./samplePicture.ts")]);
  const file = `${name}.${endingOf(encoding)}`;
  await write(out, file, await encodePicture(drawPicture(scene), encoding));
  process.stdout.write(`${file}\n`);
}

async function write(out: string, name: string, content: string | Uint8Array): Promise<void> {
  const [{ writeFile }, { join }] = await Promise.all([import("node:fs/promises"), import("node:path")]);
  await written(join(out, name), () => writeFile(join(out, name), content));
}

async function written<T>(what: string, action: () => Promise<T>): Promise<T> {
  try {
    return await action();
  } catch (error) {
    throw new OutputFault(`${what} cannot be written: ${error instanceof Error ? error.message : String(error)}.`, "Give a folder that you may write to, with room on its disk.");
  }
}

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

function numbers(option: string, text: string, count: number): number[] {
  const values = text.split(",").map((part) => decimalNumber(part, option));
  if (values.length !== count) throw new UsageFault(`"${text}" does not fit ${option}.`, `Give ${count === 1 ? "a number" : `${count} numbers with commas between`} after ${option}.`);
  return values;
}
