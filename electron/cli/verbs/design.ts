import type { Command } from "commander";
import type { Contribution } from "../../../core/design/contributions.ts";
import type { Prediction } from "../../../core/design/predict.ts";
import type { Setup } from "../../../core/design/setup.ts";
import type { NoView } from "../../../core/design/viewpoint.ts";
import type { Job, Mark } from "../../../core/job/schema.ts";
import { DataFault, OutputFault, UsageFault } from "../exit.ts";
import { decimalNumber, optional, wholeNumber } from "../numbers.ts";

interface Options {
  readonly job?: string;
  readonly phone?: string;
  readonly camera?: string;
  readonly distance?: string;
  readonly scanner?: string;
  readonly marks?: string;
  readonly keep?: boolean;
  readonly onPieces?: boolean;
  readonly artwork?: string;
  readonly witnesses?: string;
  readonly out?: string;
  readonly json?: boolean;
}

/** What `--json` prints. */
interface Result {
  readonly format: "kerfmark.design/1";
  readonly job: string;
  readonly setup: Setup["kind"];
  /** Worst U before a proposal, mm; null where the job's own marks do not fix the view. */
  readonly before?: number | null;
  readonly prediction: Prediction;
  /** Worst U without each mark, mm; null where the others do not suffice. */
  readonly contributions: readonly Contribution[];
  readonly marks?: readonly Mark[];
  readonly notes: readonly string[];
}

/** `kerfmark design`: how well a job will be measured, and where marks should stand. */
export function register(program: Command): void {
  program
    .command("design")
    .description("Predicts how well a job will be measured, and proposes marks and witnesses, before anything is printed.")
    .option("--job <file>", "the job file (*.job.json)")
    .option("--phone <mm>", "looked at by a phone from about this far away")
    .option("--camera <profile>", "looked at by the camera or scanner of this profile, made by kerfmark calibrate")
    .option("--distance <mm>", "with a camera's profile: from how far away (default: so that the sheet fills the picture)")
    .option("--scanner <dpi>", "scanned on a flatbed at this resolution")
    .option("--marks <n>", "propose places for n marks, in place of the job's own")
    .option("--keep", "with --marks: keep the job's own marks and add n")
    .option("--on-pieces", "with --marks: marks may stand on the pieces too")
    .option("--artwork <drawing>", "keep out of what this print drawing (PDF, SVG, DXF) shows besides cuts, creases and marks")
    .option("--witnesses <n>", "propose n witnesses (a ring with a hole in its middle) in the waste")
    .option("--out <job>", "job file to write with what was proposed")
    .option("--json", "print one JSON object (kerfmark.design/1), nothing else")
    .addHelpText("after", `
All U are expanded uncertainties (k = 2, about 95 %), in mm, or mm per metre.

Exit status: 0 when the figures were given; 64 wrong usage; 65 a job or profile that is faulty or cannot be measured so; 66 no such file.`)
    .action(run);
}

/** Marks or witnesses proposed at once. */
const MOST_PROPOSED = 60;

async function run(options: Options): Promise<void> {
  if (options.job === undefined) throw new UsageFault("No job was named.", "Give --job JOB.json.");
  const [count, witnesses] = (["marks", "witnesses"] as const).map((what) => optional(options[what], (n) => wholeNumber(n, `--${what}`, 1, MOST_PROPOSED)));
  if (options.out !== undefined && count === undefined && witnesses === undefined) throw new UsageFault("There is nothing to write.", "Give --marks N or --witnesses N with --out.");
  const [{ loadJob }, { predict }, { contributionsOf }] = await Promise.all([
    import("../check/inputs.ts"), import("../../../core/design/predict.ts"), import("../../../core/design/contributions.ts"),
  ]);
  const setup = await setupOf(options);
  // A job that is to be given marks may lack them.
  const read = await loadJobOrDraft(options.job, count !== undefined, loadJob);
  const notes: string[] = [];
  const avoid = options.artwork === undefined ? [] : await artworkOf(options.artwork, read, notes);
  let job: Job = read;
  let before: number | null | undefined;
  if (count !== undefined) {
    const { proposeMarks } = await import("../../../core/design/propose.ts");
    const proposal = unlessNot(options.job, proposeMarks(job, setup, { count, keep: options.keep, onPieces: options.onPieces, avoid }));
    ({ before } = proposal);
    notes.push(...proposal.notes);
    job = { ...job, marks: [...proposal.marks] };
  }
  if (witnesses !== undefined) {
    const { proposeWitnesses } = await import("../../../core/design/witnesses.ts");
    const proposed = unlessNot(options.job, proposeWitnesses(job, { count: witnesses, avoid }));
    job = { ...job, marks: [...job.marks, ...proposed.marks], cuts: [...job.cuts, ...proposed.cuts] };
  }
  const prediction = unlessNot(options.job, predict(job, setup));
  const contributions = unlessNot(options.job, contributionsOf(job, setup)).marks;
  if (options.out !== undefined) await write(options.out, job);
  const result: Result = { format: "kerfmark.design/1", job: job.id, setup: setup.kind, ...(before === undefined ? {} : { before }), prediction, contributions, ...(job === read ? {} : { marks: job.marks }), notes };
  process.stdout.write(options.json ? `${JSON.stringify(result)}\n` : describe(result, job));
}

async function setupOf(options: Options): Promise<Setup> {
  const named = [options.phone, options.camera, options.scanner].filter((v) => v !== undefined);
  if (named.length !== 1) throw new UsageFault(`${named.length === 0 ? "Nothing" : "More than one thing"} was named to look at the sheets with.`, "Give one of --phone MM, --camera PROFILE.json, --scanner DPI.");
  if (options.phone !== undefined) return { kind: "phone", distance: decimalNumber(options.phone, "--phone", 0) };
  if (options.scanner !== undefined) return { kind: "scanner", dpi: decimalNumber(options.scanner, "--scanner", 0) };
  const { loadProfile } = await import("../check/inputs.ts");
  const profile = await loadProfile(options.camera ?? "");
  if (profile.kind === "scanner") return { kind: "scanner", profile };
  return { kind: "camera", profile, ...(options.distance === undefined ? {} : { distance: decimalNumber(options.distance, "--distance", 0) }) };
}

async function artworkOf(file: string, job: Job, notes: string[]): Promise<ReadonlyArray<readonly [number, number, number, number]>> {
  const [{ drawingOf }, { artworkBoxes }, { proposeMeanings }] = await Promise.all([
    import("../drawing.ts"), import("../../../core/job/import/artwork.ts"), import("../../../core/job/import/meaning.ts"),
  ]);
  const drawing = await drawingOf(file, {});
  const artwork = artworkBoxes(drawing, proposeMeanings(drawing), job.sheet);
  notes.push(...artwork.notes);
  return artwork.boxes;
}

async function loadJobOrDraft(file: string, draft: boolean, loadJob: (file: string) => Promise<{ job: Job }>): Promise<Job> {
  if (!draft) return (await loadJob(file)).job;
  const { readFile } = await import("node:fs/promises");
  const { readJob } = await import("../../../core/job/read.ts");
  const text = await readFile(file, "utf8").catch(() => "");
  const read = readJob(text);
  if (text !== "" && !read.ok && read.errors.every((e) => e.path === "marks")) {
    const { jobSchema } = await import("../../../core/job/schema.ts");
    const parsed = jobSchema.safeParse(JSON.parse(text));
    if (parsed.success) return parsed.data;
  }
  return (await loadJob(file)).job;
}

function unlessNot<T extends { readonly ok: true }>(file: string, result: T | NoView): T {
  if (!result.ok) throw new DataFault(`${file}: ${result.reason}`, result.hint);
  return result;
}

async function write(file: string, job: Job): Promise<void> {
  const { writeFile } = await import("node:fs/promises");
  try {
    await writeFile(file, `${JSON.stringify(job, null, 2)}\n`);
  } catch (error) {
    throw new OutputFault(`The job cannot be written to ${file}: ${error instanceof Error ? error.message : "unknown"}.`, "Choose another place with --out.");
  }
}

function describe({ prediction: p, before, contributions, notes }: Result, job: Job): string {
  const mm = (v: number) => v.toFixed(4);
  const worst = contributions.map((c) => ({ ...c, worse: c.without === null ? Infinity : c.without - p.worst.U })).sort((a, b) => b.worse - a.worse);
  const line = (c: (typeof worst)[number]) => `  ${c.id}: ${c.without === null ? "cannot be done without" : `without it ${mm(c.without)} mm`}`;
  return `${[
    `${job.id}: ${p.pxPerMm.toFixed(1)} pixels per mm${p.distance === null ? "" : ` from ${Math.round(p.distance)} mm`}.`,
    `Worst deviation will be known to ${mm(p.worst.U)} mm (${p.worst.feature}, near ${p.worst.x.toFixed(0)}, ${p.worst.y.toFixed(0)})${before === undefined ? "" : before === null ? "; the job's own marks do not suffice" : `; with the job's own marks to ${mm(before)} mm`}.`,
    `Offset ${mm(p.offset)} mm, rotation ${mm(p.rotation)}, skew ${mm(p.skew)}, scale ${mm(p.scale)} mm/m.`,
    `Tolerance of position ${job.tolerance.position} mm: ${judgedShare(p.worst.U, job.tolerance.position)}`,
    "What the marks bring:", ...worst.map(line),
    ...notes, ...p.warnings,
  ].join("\n")}\n`;
}

/** A measurement uses up a tenth of the tolerance at best and a third at worst (common practice, no source). */
function judgedShare(U: number, tolerance: number): string {
  const share = `U is ${Math.round((100 * U) / tolerance)} % of it`;
  if (U <= tolerance / 10) return `${share}: plenty.`;
  return U <= tolerance / 3 ? `${share}: good enough.` : `${share}: many sheets near the limit will be unsure. Go nearer, scan, or use a profile.`;
}
