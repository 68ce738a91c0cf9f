import { Option, type Command } from "commander";
import type { Trend, TrendInput } from "../../../core/trend/trend.ts";
import { JUDGED_VALUES, type JudgedValue } from "../../host/library/judgedValues.ts";
import type { Library } from "../../host/library/library.ts";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import type { AdviceOfRun } from "../../host/runs/adviceOfRun.ts";
import { DataFault, UsageFault } from "../exit.ts";
import { decimalNumber, optional } from "../numbers.ts";
import { onRun } from "./libraryFault.ts";

interface Options {
  readonly library: string;
  readonly csv?: string;
  readonly column?: string;
  readonly order?: string;
  readonly baseline?: string;
  readonly lower?: string;
  readonly upper?: string;
  readonly target?: string;
  readonly ewma?: string;
  readonly cusum?: string;
  readonly uncertainty?: string;
  readonly json?: boolean;
}

/** `kerfmark trend`: control charts, drift, changes and capability of a run (contract section 5). */
export function register(program: Command): void {
  program
    .command("trend")
    .description("Control charts, drift, changes of level and capability of a run.")
    .argument("[run]", "number of a run in the library")
    .addOption(new Option("--library <dir>", "the library's folder").default(defaultLibraryFolder(), "KERFMARK_LIBRARY, else the system's place for programs' data"))
    .option("--csv <file>", "table with a header row, one row per sheet, instead of a run")
    .option("--column <name[,name2]>", `the value to follow; a second one adds T2 of both. Of a run: ${Object.keys(JUDGED_VALUES).join(", ")} (default: position)`)
    .option("--order <column>", "column with the sheet numbers: rows are put in this order, and drift is told per 100 of it")
    .option("--baseline <from..to>", "rows that the limits come from (default: the first 30)")
    .option("--lower <limit>", "lower tolerance limit")
    .option("--upper <limit>", "upper tolerance limit; with two columns, the limit on the length of (name, name2)")
    .option("--target <value>", "target of the CUSUM (default: the baseline's mean)")
    .option("--ewma <lambda>", "weight of the newest value in the EWMA (default: 0.2)")
    .option("--cusum <k,h>", "slack and decision limit of the CUSUM in the data's unit (default: 0.5 and 5 times the baseline's sigma)")
    .option("--uncertainty <u>", "standard uncertainty of one measurement (k = 1), to be taken out of the scatter")
    .option("--json", "print one JSON object (kerfmark.trend/1)")
    .addHelpText("after", `
Row numbers count data rows from 1, rows with empty cells included. Control limits come from the baseline, tolerance limits from you.

Exit status: 0 when the figures were given; 64 wrong usage; 65 something wrong in the table; 66 no such file.`)
    .action(run);
}

async function run(number: string | undefined, options: Options): Promise<void> {
  if (number !== undefined) return ofRun(number, options);
  const asked = understand(options);
  const [{ readTrendColumns }, { trend }, { readCsv, unlessFault }] = await Promise.all([
    import("../../../core/trend/table.ts"), import("../../../core/trend/trend.ts"), import("./table.ts"),
  ]);
  const columns = unlessFault(asked.csv, readTrendColumns(await readCsv(asked.csv), asked.columns));
  const { baseline } = asked.settings;
  if (baseline && baseline.to > columns.values.length) {
    throw new DataFault(`${asked.csv}: the baseline ends at row ${baseline.to} but the table has ${columns.values.length} rows.`, "State a baseline inside the table.");
  }
  const result = trend({ ...columns, ...asked.settings });
  const sorted = columns.sorted ? [`The rows were put in the order of "${options.order}"; row numbers count them in that order.`] : [];
  const complete = { ...result, notes: [...sorted, ...result.notes] };
  process.stdout.write(options.json ? `${JSON.stringify(complete)}\n` : describe(complete));
}

/** The trend of a run of the library: its job's limits unless others are given, the measurement's uncertainty from the checks. */
async function ofRun(number: string, options: Options): Promise<void> {
  if (options.csv !== undefined || options.order !== undefined || options.uncertainty !== undefined) {
    throw new UsageFault("A run and --csv, --order or --uncertainty do not go together.", "Name a run or a table; a run knows its sheets and uncertainties.");
  }
  const [value, second] = namesOf(options.column ?? "position").map(judgedValue);
  const { baseline, target, lambda, cusum, limits } = settingsOf(options);
  const [{ trendOfRun }, { adviceOfRun }] = await Promise.all([import("../../host/runs/trendOfRun.ts"), import("../../host/runs/adviceOfRun.ts")]);
  const { trend: result, order, orderedBy, advice } = await onRun(options.library, number, async (library, run) => ({
    ...(await trendOfRun(library, run, { value, second, target, lambda, cusum, limits, ...(baseline && { baseline }) })), advice: options.json ? [] : await sentencesOf(library, run, adviceOfRun),
  }));
  const sheets = orderedBy === "sheet" ? `Sheets ${order[0] ?? "-"} to ${order.at(-1) ?? "-"}; rows count the checked ones. ` : "";
  process.stdout.write(options.json ? `${JSON.stringify(result)}\n` : `${sheets}${describe(result)}${advice.join("\n")}\n`);
}

/** The advice on a run, whatever value was asked for: a line each. Directions in the job's own words. */
async function sentencesOf(library: Library, runId: number, adviceOfRun: (library: Library, runId: number) => Promise<AdviceOfRun>): Promise<string[]> {
  const [{ DEFAULT_AXES }, { say }] = await Promise.all([import("../../../core/trend/advice.ts"), import("../../../core/trend/messages.ts")]);
  const { jobId } = await library.jobs.version((await library.runs.get(runId)).jobVersionId);
  const axes = (await library.jobs.axes(jobId)) ?? DEFAULT_AXES;
  const { advice } = await adviceOfRun(library, runId);
  return advice.messages.map((m, i) => {
    const direction = m.with?.direction;
    const text = say(direction === undefined ? m : { ...m, with: { ...m.with, direction: axes[direction as keyof typeof axes] } });
    return i === 0 ? `Advice: ${text}` : `  ${text}`;
  });
}

function judgedValue(name: string): JudgedValue {
  if (!(name in JUDGED_VALUES)) throw new UsageFault(`A run has no value "${name}".`, `Name one of ${Object.keys(JUDGED_VALUES).join(", ")}.`);
  return name as JudgedValue;
}

type Settings = Omit<TrendInput, "column" | "values" | "second" | "order">;

function understand(options: Options): { csv: string; columns: { column: string; second?: string; order?: string }; settings: Settings } {
  const { csv } = options;
  if (csv === undefined) throw new UsageFault("Neither a run nor a table was named.", "Give the number of a run, or --csv FILE.");
  if (!options.column) throw new UsageFault("No column was named.", "Give --column NAME, or NAME,NAME2 for two.");
  const names = namesOf(options.column);
  return { csv, columns: { column: names[0], second: names[1], order: options.order }, settings: settingsOf(options) };
}

function namesOf(column: string): string[] {
  const names = column.split(",").map((name) => name.trim());
  if (names.length > 2 || names.includes("")) throw new UsageFault(`"${column}" does not name one or two columns.`, "Give --column NAME, or NAME,NAME2.");
  if (names[0] === names[1]) throw new UsageFault("Both columns are the same.", "Name two different columns, or one.");
  return names;
}

function settingsOf(options: Options): Settings {
  const [lower, upper, target] = (["lower", "upper", "target"] as const).map((name) => optional(options[name], (text) => decimalNumber(text, `--${name}`)));
  if (lower !== undefined && upper !== undefined && lower >= upper) throw new UsageFault("The lower limit is not below the upper one.", "Give --lower and --upper in the data's unit.");
  const lambda = optional(options.ewma, (text) => decimalNumber(text, "--ewma"));
  if (lambda !== undefined && !(lambda > 0 && lambda <= 1)) throw new UsageFault(`An EWMA weight of ${lambda} makes no sense.`, "Give --ewma a number above 0 and at most 1.");
  const u = optional(options.uncertainty, (text) => decimalNumber(text, "--uncertainty"));
  if (u !== undefined && u < 0) throw new UsageFault("An uncertainty cannot be negative.", "Give --uncertainty in the data's unit.");
  return { baseline: baselineOf(options.baseline), limits: { lower, upper }, target, lambda, cusum: cusumOf(options.cusum), u };
}

function baselineOf(text: string | undefined): { from: number; to: number } | undefined {
  if (text === undefined) return undefined;
  const [, from, to] = (/^(\d+)\.\.(\d+)$/.exec(text) ?? []).map(Number);
  if (!(from >= 1 && to > from)) throw new UsageFault(`"${text}" is not a baseline.`, "Give --baseline FROM..TO in rows counted from 1, such as 1..30.");
  return { from, to };
}

function cusumOf(text: string | undefined): { k: number; h: number } | undefined {
  if (text === undefined) return undefined;
  const [k, h, ...more] = text.split(",").map((part) => decimalNumber(part, "--cusum"));
  if (k === undefined || h === undefined || more.length > 0 || k < 0 || h <= 0) {
    throw new UsageFault(`"${text}" is not a pair of CUSUM figures.`, "Give --cusum K,H with K at least 0 and H above 0, in the data's unit.");
  }
  return { k, h };
}

function describe(t: Trend): string {
  const f = (v: number | undefined, digits = 4): string => (v === undefined ? "-" : v.toFixed(digits));
  const lines = [
    `${t.column}: ${t.n} rows, ${t.missing} not measured; limits from rows ${t.baseline.from} to ${t.baseline.to}.`,
    `Centre ${f(t.centre)}, sigma from sheet to sheet ${f(t.sigmaWithin)}, overall ${f(t.sigmaOverall)}.`,
  ];
  if (t.individuals) lines.push(`Individuals ${f(t.individuals.lcl)} to ${f(t.individuals.ucl)}; moving range up to ${f(t.movingRange?.ucl)}.`);
  if (t.drift) {
    lines.push(`Drift ${f(t.drift.per100)} per 100 sheets (95 %: ${f(t.drift.low)} to ${f(t.drift.high)}); robust ${f(t.drift.robustPer100)}.`);
    const { left } = t.drift;
    if (left) lines.push(`The mean reaches the limit in about ${Math.round(left.value)} sheets (90 %: ${Math.floor(left.low)} to ${Math.ceil(left.high)}).`);
  }
  for (const c of t.changes) lines.push(`Change at row ${c.at}: shift ${f(c.shift)}, p ${c.p < 0.0001 ? "below 0.0001" : f(c.p)}.`);
  const c = t.capability;
  if (c) lines.push(`Cp ${f(c.cp, 2)}, Cpk ${f(c.cpk, 2)}, Pp ${f(c.pp, 2)}, Ppk ${f(c.ppk, 2)} (95 %: ${f(c.ppkLow, 2)} to ${f(c.ppkHigh, 2)}); out of tolerance ${f(100 * (c.outShare ?? 0), 2)} %.`);
  const first = new Map<string, { at: number; count: number }>();
  for (const s of t.signals) {
    const key = `${s.chart}: ${s.rule}`;
    first.set(key, { at: first.get(key)?.at ?? s.at, count: (first.get(key)?.count ?? 0) + 1 });
  }
  for (const [key, { at, count }] of first) lines.push(`Signal ${key}: first at row ${at}${count > 1 ? `, ${count} in all` : ""}.`);
  if (first.size === 0 && t.individuals) lines.push("No signals.");
  return `${[...lines, ...t.notes].join("\n")}\n`;
}
