import { Option, type Command } from "commander";
import type { SetAside } from "../../../core/setaside/ranges.ts";
import { defaultLibraryFolder } from "../../host/library/place.ts";
import { UsageFault } from "../exit.ts";
import { wholeNumber } from "../numbers.ts";
import { onRun } from "./libraryFault.ts";

interface Options {
  readonly library: string;
  readonly csv?: string;
  readonly sheets?: string;
  readonly json?: boolean;
}

/** `kerfmark setaside`: which sheets of a stack to set aside, and which to check next (contract section 5). */
export function register(program: Command): void {
  program
    .command("setaside")
    .description("Says which sheets of a stack are bad, suspect and clear, and which one to check next.")
    .argument("[run]", "number of a run in the library")
    .addOption(new Option("--library <dir>", "the library's folder").default(defaultLibraryFolder(), "KERFMARK_LIBRARY, else the system's place for programs' data"))
    .option("--csv <file>", "instead of a run: table with the columns sheet and verdict (in, out, unsure; empty: not checked)")
    .option("--sheets <n>", "number of sheets in the stack; sheet 1 was cut first and lies at the bottom")
    .option("--json", "print one JSON object (kerfmark.setaside/1)")
    .addHelpText("after", `
A later row of the same sheet wins. Sheets are suspect from a bad or unsure check to the nearest good one on either side.
Take suspects off a standing stack only, never off a running table, and lift as your shop's rules and the machine's manual say.

Exit status: 0 when the ranges were given; 64 wrong usage; 65 something wrong in the table; 66 no such file.`)
    .action(run);
}

async function run(number: string | undefined, options: Options): Promise<void> {
  if (number !== undefined) return ofRun(number, options);
  if (options.csv === undefined) throw new UsageFault("Neither a run nor a table was named.", "Give the number of a run, or --csv FILE.");
  const sheets = stackSize(options.sheets);
  const [{ readChecks }, { setAside }, { readCsv, unlessFault }] = await Promise.all([
    import("../../../core/setaside/table.ts"), import("../../../core/setaside/ranges.ts"), import("./table.ts"),
  ]);
  const checks = unlessFault(options.csv, readChecks(await readCsv(options.csv), sheets));
  const result = setAside(checks, sheets);
  process.stdout.write(options.json ? `${JSON.stringify(result)}\n` : describe(result, sheets));
}

/** A stack of the library: its size is the run's, else the highest sheet number seen, unless it is given. */
async function ofRun(number: string, options: Options): Promise<void> {
  if (options.csv !== undefined) throw new UsageFault("A run and --csv do not go together.", "Name a run or a table.");
  const given = options.sheets === undefined ? undefined : stackSize(options.sheets);
  const { stackOfRun } = await import("../../host/runs/stack.ts");
  const { setAside: result, sheets, sheetsKnown } = await onRun(options.library, number, (library, run) => stackOfRun(library, run, given));
  const guessed = sheetsKnown ? "" : "The size of the stack was not entered; the highest sheet number seen is taken. Give --sheets N for another.\n";
  process.stdout.write(options.json ? `${JSON.stringify(result)}\n` : guessed + describe(result, sheets));
}

function stackSize(text: string | undefined): number {
  if (text === undefined) throw new UsageFault("The size of the stack was not given.", "Give --sheets N.");
  return wholeNumber(text, "--sheets", 1, 9_999_999);
}

function describe(result: SetAside, sheets: number): string {
  const range = (r: { from: number; to: number }): string => (r.from === r.to ? `${r.from}` : `${r.from}-${r.to}`);
  const place = ([a, b]: readonly [number, number]): string => (a === b ? `${a} from the top` : `${a}-${b} from the top`);
  const lines = [
    `Stack of ${sheets}; sheet 1 was cut first and lies at the bottom.`,
    `Bad:     ${result.bad.length > 0 ? result.bad.map((s) => `${s} (${sheets + 1 - s} from the top)`).join(", ") : "none found"}`,
    `Suspect: ${result.suspect.length > 0 ? result.suspect.map((r) => `${range(r)} (${place(r.fromTop)})`).join(", ") : "none"}`,
    `Clear:   ${result.clear.length > 0 ? result.clear.map(range).join(", ") : "none"}`,
    result.next === null ? "Nothing needs checking." : `Check sheet ${result.next} next (${sheets + 1 - result.next} from the top).`,
  ];
  return `${lines.join("\n")}\n`;
}
