import type { Command } from "commander";
import type { Bias, LengthCheck, Linearity } from "../../../core/gauge/bias.ts";
import type { GaugeStudy } from "../../../core/gauge/study.ts";
import { DataFault, UsageFault } from "../exit.ts";
import { decimalNumber, optional } from "../numbers.ts";

interface Options {
  readonly csv?: string;
  readonly plan?: string;
  readonly sheets?: string;
  readonly operators?: string;
  readonly repeats: string;
  readonly job?: string;
  readonly camera?: string;
  readonly value: string;
  readonly tolerance?: string;
  readonly mpe?: string;
  readonly json?: boolean;
}

interface Result {
  readonly format: "kerfmark.gauge/1";
  readonly study?: GaugeStudy;
  readonly bias?: Bias;
  readonly linearity?: Linearity;
  readonly lengthCheck?: LengthCheck;
  readonly notes: readonly string[];
}

/** `kerfmark gauge`: how much of what is measured is the measuring itself. */
export function register(program: Command): void {
  program
    .command("gauge")
    .description("Gauge study: repeatability, reproducibility, bias, linearity and a length check, from a table of readings.")
    .option("--plan <file>", "writes the plan of a study as a table: which sheet to picture next, and by whom")
    .option("--sheets <names>", "for --plan: the sheets, divided by commas")
    .option("--operators <names>", "for --plan: who measures, divided by commas")
    .option("--repeats <n>", "for --plan: how often each operator measures each sheet", "2")
    .option("--job <file>", "the sheets' job: measures the pictures that the plan in --csv names, and says which to take next")
    .option("--camera <file>", "with --job: profile of the camera or scanner")
    .option("--value <name>", "with --job: the value looked at: x, y, rotation, skew, scaleX, scaleY or position", "x")
    .option("--csv <file>", "table with part, operator, value (crossed study) and/or reference, value (known sheets or lengths)")
    .option("--tolerance <width>", "whole width of the tolerance, in the data's unit")
    .option("--mpe <a,k>", "length check: every error within A + L/K (A and L in mm)")
    .option("--json", "print one JSON object (kerfmark.gauge/1)")
    .addHelpText("after", `
A study in three steps: kerfmark gauge --plan study.csv --sheets 1,2,3 --operators Ada,Ben; picture the sheets in the plan's order, laid anew each time, and write
the pictures' names into its column image (and true values, where they are known, into reference); kerfmark gauge --csv study.csv --job JOB.json.
`)
    .addHelpText("after", "\nExit status: 0 when the figures were given; 64 wrong usage; 65 something wrong in the table; 66 no such file.")
    .action(run);
}

async function run(options: Options): Promise<void> {
  const { csv } = options;
  if (options.plan !== undefined) return (await import("../gauge/writePlan.ts")).writePlan({ ...options, plan: options.plan });
  if (csv === undefined) throw new UsageFault("No table was named.", "Give --csv FILE, or make a plan with --plan FILE.");
  const tolerance = optional(options.tolerance, (width) => decimalNumber(width, "--tolerance", 0));
  const mpe = options.mpe?.split(",").map((part) => decimalNumber(part, "--mpe", 0));
  if (mpe && mpe.length !== 2) throw new UsageFault(`"${options.mpe}" is not a permissible error.`, "Give --mpe A,K, such as 0.05,10000.");
  const [{ readGaugeTable }, { gaugeStudy }, { biasOf, lengthCheck, linearityOf }, { readCsv, unlessFault }] = await Promise.all([
    import("../../../core/gauge/table.ts"), import("../../../core/gauge/study.ts"), import("../../../core/gauge/bias.ts"), import("./table.ts"),
  ]);
  const text = options.job === undefined ? await readCsv(csv) : await (await import("../gauge/measurePlan.ts")).measurePlan(csv, { ...options, job: options.job });
  if (text === null) return;
  const { readings, known } = unlessFault(csv, readGaugeTable(text));
  const notes: string[] = [];
  const study = readings.length > 0 ? gaugeStudy(readings, tolerance) : undefined;
  if (study && "reason" in study) throw new DataFault(`${csv}: no gauge study is possible, as ${study.reason}.`, "Let every operator measure every part equally often, at least twice.");
  const bias = biasOf(known) ?? undefined;
  if (known.length > 0 && !bias) notes.push("Bias needs at least two readings whose errors differ.");
  const result: Result = {
    format: "kerfmark.gauge/1", study, bias, linearity: linearityOf(known) ?? undefined,
    lengthCheck: mpe?.[0] && mpe[1] ? (lengthCheck(known, mpe[0], mpe[1]) ?? undefined) : undefined, notes,
  };
  process.stdout.write(options.json ? `${JSON.stringify(result)}\n` : describe(result));
}

function describe({ study, bias, linearity, lengthCheck: length, notes }: Result): string {
  const lines: string[] = [];
  if (study) {
    lines.push(`${study.parts} parts, ${study.operators} operators, ${study.repeats} repeats${study.pooled ? "; interaction taken for repeatability" : ""}.`);
    lines.push("                      sd   % of variance   % of study   % of tolerance");
    for (const [name, c] of Object.entries(study.components)) {
      lines.push(`${name.padEnd(16)}${c.sd.toFixed(5).padStart(8)}${c.contribution.toFixed(2).padStart(16)}${c.ofStudy.toFixed(2).padStart(13)}${(c.ofTolerance?.toFixed(2) ?? "-").padStart(17)}`);
    }
    lines.push(`Distinct categories: ${study.ndc ?? "not limited by the gauge"}.`);
  }
  if (bias) lines.push(`Bias ${bias.bias.toFixed(5)} (95 %: ${bias.low.toFixed(5)} to ${bias.high.toFixed(5)}), p ${bias.p.toFixed(4)}.`);
  if (linearity) lines.push(`Linearity: error grows by ${linearity.slope.toFixed(5)} per unit (95 %: ${linearity.slopeLow.toFixed(5)} to ${linearity.slopeHigh.toFixed(5)}).`);
  if (length) {
    const { worst } = length;
    lines.push(`Length check ${length.passed ? "passed" : "failed"}: worst error ${worst.error.toFixed(4)} of ${worst.permitted.toFixed(4)} mm permitted at ${worst.reference} mm, ${length.n} lengths.`);
  }
  return `${[...lines, ...notes].join("\n")}\n`;
}
